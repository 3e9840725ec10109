using System.CommandLine;
using Acquire.Core;
using Acquire.Core.Methods;
using Acquire.Service.Configuration;

namespace Acquire.Service.CommandLine;

/// <summary>`acquire methods`: what the program knows of each method, with the source of every figure; and checks of a laboratory's own.</summary>
internal static class MethodsCommand
{
    public static Command Build() => new("methods", "Show the methods of determination, advise on the choice, and check own ones.") { List(), Show(), AdviseCommand.Build(), Validate(), Schema() };

    private static Command List()
    {
        var folder = MethodsOption.Make();
        var list = new Command("list", "List the methods.") { folder };
        list.SetAction(parsed =>
        {
            if (!MethodsOption.TryRead(parsed.GetValue(folder), out var methods, out var errors))
            {
                return Refuse(parsed.InvocationConfiguration.Error, errors);
            }

            var width = methods.All.Max(method => method.Id.Length);
            foreach (var method in methods.All)
            {
                parsed.InvocationConfiguration.Output.WriteLine($"{method.Id.PadRight(width)}  {method.Title}{Marks(method)}");
            }

            return ExitCode.Done;
        });
        return list;
    }

    private static Command Show()
    {
        var id = new Argument<string>("ID") { Description = "Method id." };
        var json = new Option<bool>("--json") { Description = "Print the method file itself." };
        var folder = MethodsOption.Make();
        var show = new Command("show", "Show one method with its sources and cautions.") { id, json, folder };
        show.SetAction(parsed =>
        {
            var (output, error) = (parsed.InvocationConfiguration.Output, parsed.InvocationConfiguration.Error);
            if (!MethodsOption.TryRead(parsed.GetValue(folder), out var methods, out var errors))
            {
                return Refuse(error, errors);
            }

            if (!methods.TryFind(parsed.GetValue(id)!, out var method))
            {
                return Refuse(error, [methods.Unknown("ID", parsed.GetValue(id)!)]);
            }

            if (parsed.GetValue(json))
            {
                output.WriteLine(MethodFile.ToJson(method));
            }
            else
            {
                MethodText.Write(method, output);
            }

            return ExitCode.Done;
        });
        return show;
    }

    private static Command Validate()
    {
        var files = new Argument<string[]>("FILE") { Description = "Method files.", Arity = ArgumentArity.OneOrMore };
        var validate = new Command("validate", "Check method files: every mistake with its key and line. Ends with 0 where there is none, else with 2.") { files };
        validate.SetAction(parsed =>
        {
            var read = new List<(string, string)>();
            var errors = new List<InputError>();
            foreach (var file in parsed.GetValue(files)!)
            {
                if (MethodFolder.TryReadText(file, out var text, out var unread))
                {
                    read.Add((file, text));
                }
                else
                {
                    errors.Add(unread);
                }
            }

            if (!MethodSet.TryMake(read, out var methods, out var mistakes) || errors.Count > 0)
            {
                return Refuse(parsed.InvocationConfiguration.Error, [.. errors, .. mistakes]);
            }

            foreach (var ((file, _), method) in read.Zip(methods.All.Skip(MethodSet.Embedded.All.Count)))
            {
                parsed.InvocationConfiguration.Output.WriteLine($"{file}: {method.Id}, {method.Title}{Marks(method)}");
            }

            return ExitCode.Done;
        });
        return validate;
    }

    private static Command Schema()
    {
        var schema = new Command("schema", "Print the JSON Schema of a method file, for editors.");
        schema.SetAction(parsed =>
        {
            parsed.InvocationConfiguration.Output.Write(MethodSchema.Text);
            return ExitCode.Done;
        });
        return schema;
    }

    private static string Marks(MethodDefinition method)
    {
        var remembered = method.Sources.Count(source => source.FromMemory);
        return remembered == 0 ? "" : $" [{remembered} entries from memory]";
    }

    private static int Refuse(TextWriter error, IReadOnlyList<InputError> problems)
    {
        foreach (var problem in problems)
        {
            error.WriteLine(problem);
        }

        return ExitCode.BadInput;
    }
}
