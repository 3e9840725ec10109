using System.CommandLine;
using System.Globalization;
using Acquire.Core;
using Acquire.Core.Runs;
using Acquire.Simulator;

namespace Acquire.Service.CommandLine;

/// <summary>`acquire situations`: runs with a story, to train technicians with and to try a set-up with whose outcome is known.</summary>
internal static class SituationsCommand
{
    public static Command Build() => new("situations", "Show the simulated situations for training and acceptance, and check what is concluded from them.") { List(), Show(), Check() };

    /// <summary>Finds a situation by the name that was given to an option or argument.</summary>
    public static bool TryFind(string name, string path, out Situation situation, out InputError error)
    {
        var known = SituationCatalog.TryFind(name, out var found);
        situation = found!;
        error = known ? null! : new(path, $"'{name}' is no situation; there are {string.Join(", ", SituationCatalog.All.Select(one => one.Name))}");
        return known;
    }

    private static Command List()
    {
        var list = new Command("list", "List the situations, and what Acquire should conclude from each.");
        list.SetAction(parsed =>
        {
            var width = SituationCatalog.All.Max(situation => situation.Name.Length);
            foreach (var situation in SituationCatalog.All)
            {
                parsed.InvocationConfiguration.Output.WriteLine($"{situation.Name.PadRight(width)}  {situation.Happens} [{situation.Expected}]");
            }

            return ExitCode.Done;
        });
        return list;
    }

    private static Command Show()
    {
        var name = new Argument<string>("NAME") { Description = "A situation of `acquire situations list`." };
        var show = new Command("show", "Show what happens in a situation, and what a technician sees and does.") { name };
        show.SetAction(parsed =>
        {
            if (!TryFind(parsed.GetValue(name)!, "NAME", out var situation, out var error))
            {
                return SimulateCommand.Refuse(parsed.InvocationConfiguration.Error, [error]);
            }

            SituationText.Write(situation, parsed.InvocationConfiguration.Output);
            return ExitCode.Done;
        });
        return show;
    }

    private static Command Check()
    {
        var name = new Argument<string?>("NAME") { Description = "One situation; left out, all of them.", Arity = ArgumentArity.ZeroOrOne };
        var seed = new Option<ulong>("--seed") { Description = "Picks the run.", DefaultValueFactory = _ => 1 };
        var check = new Command("check", "Play situations in this process and say whether what is concluded is what should be.") { name, seed };
        check.SetAction(parsed =>
        {
            var situations = SituationCatalog.All;
            if (parsed.GetValue(name) is { } one)
            {
                if (!TryFind(one, "NAME", out var situation, out var error))
                {
                    return SimulateCommand.Refuse(parsed.InvocationConfiguration.Error, [error]);
                }

                situations = [situation];
            }

            bool[] asExpected = [.. situations.Select(situation => IsAsExpected(situation, parsed.GetValue(seed), parsed.InvocationConfiguration.Output))];
            return Array.TrueForAll(asExpected, one => one) ? ExitCode.Done : ExitCode.Failed;
        });
        return check;
    }

    private static bool IsAsExpected(Situation situation, ulong seed, TextWriter output)
    {
        var run = new SimulatedRun(situation.Options(seed));
        var options = run.Options;
        var result = RunReplay.Run(options.Aim.Plan(options.Method) with { StationPressureKilopascals = options.StationPressureKilopascals, HasFlameSignal = options.HasFlameSignal, Thermometer = options.Thermometer.Chain }, run);
        var differences = situation.Expected.Compare(run, result);
        output.WriteLine(string.Create(CultureInfo.InvariantCulture, $"{(differences.Count == 0 ? "as expected" : "DIFFERENT  ")}  {situation.Name}, seed {seed}: {situation.Expected}"));
        foreach (var difference in differences)
        {
            output.WriteLine($"             {difference}");
        }

        return differences.Count == 0;
    }
}
