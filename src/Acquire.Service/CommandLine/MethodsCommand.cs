using System.CommandLine;
using Acquire.Core.Methods;

namespace Acquire.Service.CommandLine;

/// <summary>`acquire methods`: what the program knows of each method, with the source of every figure.</summary>
internal static class MethodsCommand
{
    public static Command Build()
    {
        var list = new Command("list", "List the methods.");
        list.SetAction(parsed =>
        {
            foreach (var method in MethodCatalog.All)
            {
                parsed.InvocationConfiguration.Output.WriteLine($"{method.Id,-16} {method.Title}");
            }

            return ExitCode.Done;
        });

        var id = new Argument<string>("ID") { Description = "Method id." };
        var json = new Option<bool>("--json") { Description = "Print the method file itself." };
        var show = new Command("show", "Show one method with its sources and cautions.") { id, json };
        show.SetAction(parsed =>
        {
            var output = parsed.InvocationConfiguration.Output;
            if (!MethodCatalog.TryFind(parsed.GetValue(id)!, out var method))
            {
                parsed.InvocationConfiguration.Error.WriteLine(MethodCatalog.Unknown("ID", parsed.GetValue(id)!));
                return ExitCode.BadInput;
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
        return new Command("methods", "Show the methods of determination.") { list, show };
    }
}
