using System.Globalization;
using Acquire.Core;
using Acquire.Core.Runs;
using Acquire.Simulator;

namespace Acquire.Service.CommandLine;

/// <summary>`acquire simulate --driven`: a whole driven determination in this process, or a driven tester on a wire.</summary>
internal static class DrivenSimulation
{
    public static async Task<int> RunAsync(DrivenRunOptions options, SimulationTarget target, Func<InputError, InputError> asOption, TextWriter output, TextWriter error, CancellationToken cancellationToken)
    {
        InputError[] problems = [.. options.Check().Select(asOption), .. target.IsNone ? [] : target.Check()];
        if (problems.Length > 0)
        {
            return SimulateCommand.Refuse(error, problems);
        }

        try
        {
            return target.IsNone || target.TracePath is not null
                ? await PlayAsync(options, target.TracePath, output, cancellationToken).ConfigureAwait(false)
                : await TalkAsync(options.Tester, target, output, error, cancellationToken).ConfigureAwait(false);
        }
        catch (Exception exception) when (exception is IOException or UnauthorizedAccessException or NotSupportedException)
        {
            return SimulateCommand.Refuse(error, [new InputError("--out", $"cannot be written: {exception.Message}")]);
        }
    }

    private static async Task<int> PlayAsync(DrivenRunOptions options, string? path, TextWriter output, CancellationToken cancellationToken)
    {
        var run = DrivenRun.Play(options);
        ReplayReport.From(path ?? options.Tester.Run.Method.Id, run.Result).WriteText(output);
        run.Figures.WriteText(output);
        output.WriteLine(string.Create(CultureInfo.InvariantCulture, $"  really       {Onset("flash", run.Truth.Flash)}, {Onset("fire", run.Truth.Fire)}, {run.Truth.Applications.Count} passes of the flame"));
        if (path is not null)
        {
            var truth = await TraceWriter.WriteAsync(run, path, cancellationToken).ConfigureAwait(false);
            var entries = await SimulateCommand.WriteEntriesAsync([.. run.Facts.OfType<PersonEntry>()], path, cancellationToken).ConfigureAwait(false);
            output.WriteLine($"{path} (truth: {truth}{entries}{await SimulateCommand.WriteThermometerAsync(options.Tester.Run.Thermometer.Chain, path, cancellationToken).ConfigureAwait(false)})");
        }

        return ExitCode.Done;
    }

    private static string Onset(string what, SimulatedOnset? onset) => onset is null
        ? $"no {what}"
        : string.Create(CultureInfo.InvariantCulture, $"{what} at {onset.TemperatureCelsius:0.0} °C");

    /// <summary>Talks until Ctrl+C, then says what really happened.</summary>
    private static async Task<int> TalkAsync(DrivenOptions options, SimulationTarget target, TextWriter output, TextWriter error, CancellationToken cancellationToken)
    {
        var talk = new DrivenTalk(new DrivenTester(options with { PortionsComeByThemselves = options.Run.IsEquilibrium }), target.Speed, TimeProvider.System);
        error.WriteLine($"Simulated driven tester: it heats and moves its flame only as it is told. {(options.Run.IsEquilibrium ? "A clean cup with a fresh test portion is there whenever one may be asked for: say Charged, as a person would. " : "")}Stop with Ctrl+C.");
        try
        {
            await target.TalkAsync(talk, error.WriteLine, cancellationToken).ConfigureAwait(false);
        }
        catch (OperationCanceledException) when (cancellationToken.IsCancellationRequested)
        {
            // Ctrl+C is how it ends.
        }

        output.WriteLine(TraceWriter.TruthJson(talk.Look(tester => tester.Cup.Truth())));
        var commands = talk.Look(tester => tester.Commands);
        error.WriteLine(string.Create(CultureInfo.InvariantCulture, $"{commands.Taken} commands taken, {commands.Refused} refused for their number, {commands.Dropped} dropped, {talk.Malformed} that were none; {talk.RowsLost} rows lost."));
        return ExitCode.Done;
    }
}
