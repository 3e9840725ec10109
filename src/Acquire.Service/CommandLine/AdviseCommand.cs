using System.CommandLine;
using System.Text.Encodings.Web;
using System.Text.Json;
using Acquire.Core;
using Acquire.Core.Methods.Advising;
using Acquire.Service.Live;

namespace Acquire.Service.CommandLine;

/// <summary>`acquire methods advise`: which methods may serve a specimen, why, and which may not.</summary>
internal static class AdviseCommand
{
    private static readonly JsonSerializerOptions Readable = new(LiveJson.Options) { Encoder = JavaScriptEncoder.UnsafeRelaxedJsonEscaping };

    public static Command Build()
    {
        Option<string?>[] texts =
        [
            new("--product") { Description = $"What is in the cup: {string.Join(", ", AdviceWords.All<ProductKind>())}." },
            new("--expected-flash") { Description = $"Expected flash point, °C (-30 to 400), or {AdviceQuestionReader.Unknown}, as without this option." },
            new("--viscosity") { Description = "Kinematic viscosity, mm²/s; with --viscosity-at." },
            new("--viscosity-at") { Description = "Temperature of that viscosity, °C." },
            new("--purpose") { Description = $"What the figure is for: {string.Join(", ", AdviceWords.All<TestPurpose>())}." },
        ];
        Option<bool>[] flags =
        [
            new("--solids") { Description = "It carries suspended solids." },
            new("--film-forming") { Description = "It forms a film on the surface." },
            new("--fire-point") { Description = "The fire point is wanted too." },
            new("--volatile-contamination") { Description = "Something volatile is suspected in it, such as fuel in a lubricant." },
        ];
        var sources = new Option<bool>("--sources") { Description = "Name the source of each rule that excludes a method." };
        var folder = MethodsOption.Make();
        var json = new Option<bool>("--json") { Description = "Print one JSON object on one line, with the source of every note." };
        var command = new Command("advise", "Say which methods may serve a specimen, why, and which rule excludes the others.") { sources, folder, json };
        Array.ForEach<Option>([.. texts, .. flags], command.Options.Add);
        command.SetAction(parsed =>
        {
            var given = texts.Where(option => parsed.GetValue(option) is not null).ToDictionary(option => option.Name[2..], option => parsed.GetValue(option)!);
            foreach (var flag in flags.Where(flag => parsed.GetValue(flag)))
            {
                given[flag.Name[2..]] = "true";
            }

            return Advise(given, parsed.GetValue(folder), parsed.GetValue(json) ? null : parsed.GetValue(sources), parsed.InvocationConfiguration);
        });
        return command;
    }

    private static int Advise(Dictionary<string, string> given, string? folder, bool? wordsWithSources, InvocationConfiguration shell)
    {
        var asked = AdviceQuestionReader.TryRead(given, "--", out var question, out var mistakes);
        var known = MethodsOption.TryRead(folder, out var methods, out var broken);
        if (!asked || !known)
        {
            Array.ForEach<InputError>([.. mistakes, .. broken], shell.Error.WriteLine);
            return ExitCode.BadInput;
        }

        var advice = MethodAdvisor.Advise(methods!.All, question!);
        if (wordsWithSources is { } sources)
        {
            AdviceText.Write(advice, sources, shell.Output);
        }
        else
        {
            shell.Output.WriteLine(JsonSerializer.Serialize(advice, Readable));
        }

        return ExitCode.Done;
    }
}
