using Acquire.Core.Results;
using Acquire.EndToEnd.Tests.Rig;
using Acquire.Simulator;
using Xunit;

namespace Acquire.EndToEnd.Tests;

/// <summary>A tester on a serial line: two pseudo terminals, one simulated tester, one service, all processes of their own.</summary>
public sealed class SerialRunTests
{
    private const string Bench = "bench-1";

    [Fact(Timeout = 600_000)]
    public async Task A_run_over_a_serial_line_gives_the_truth_and_the_same_result_when_its_record_is_replayed()
    {
        using var folder = new TestFolder();
        await using var line = await SocatPair.PlugInAsync(folder);
        await using var service = await RunningService.ServeAsync(folder, ConfigText.Of(ConfigText.Serial(Bench, line.ServiceEnd)));
        var specimen = Specimens.Of(214, 11) with { StationPressureKilopascals = 97.6 };
        await service.Api.ConnectedAsync(Bench);
        var run = await service.Api.StartAsync(Bench, specimen);

        await using var tester = SimulateCommand.Speak(specimen, "--serial", line.TesterEnd);
        var said = await SimulateCommand.SaidAsync(tester);
        var closed = await service.Api.FinishedAsync(run.Id, said.LongCount());

        Truth.AssertMet(said.Truth, closed.Result);
        Assert.Equal(Verdict.Valid, closed.Result!.Verdict);
        Assert.Equal(0, (await service.Api.TesterAsync(Bench)).Counters.Malformed);
        Truth.AssertSame(said.Take((int)closed.ArchivedRows), await service.Api.RowsAsync(run.Id));
        var trace = folder.Write("record.csv", await service.Api.CsvAsync(run.Id));
        (await ReplayCommand.JudgeAsync(trace, specimen)).AssertSays(closed.Result);
        Assert.Equal(0, await service.TerminateAsync());
    }

    [Fact(Timeout = 600_000)]
    public async Task A_line_that_is_pulled_out_in_mid_run_leaves_a_gap_with_a_finding_and_the_service_goes_on()
    {
        const double PulledOutSeconds = 300, PluggedInSeconds = 340;
        using var folder = new TestFolder();
        await using var line = await SocatPair.PlugInAsync(folder);
        await using var service = await RunningService.ServeAsync(folder, ConfigText.Of(ConfigText.Serial(Bench, line.ServiceEnd)));
        var said = new SimulatedRun(Specimens.Of(196, 12));
        await service.Api.ConnectedAsync(Bench);
        var run = await service.Api.StartAsync(Bench, said.Options);

        var before = said.TakeWhile(row => row.AtSeconds < PulledOutSeconds).ToArray();
        await SpeakAsync(line, before);
        await service.Api.ArchivedAsync(run.Id, before.Length);
        await line.PullOutAsync();
        await Waiting.ForAsync(() => service.Api.TesterAsync(Bench), seen => seen.Alarms.Any(alarm => alarm.Code == "source-down"), "the lost line is alarmed");
        await line.PlugInAgainAsync();
        await service.Api.ConnectedAsync(Bench);

        // The first line after a port was opened may be thrown away: the service cannot know that it is whole.
        var after = said.SkipWhile(row => row.AtSeconds < PluggedInSeconds).ToArray();
        await SpeakAsync(line, after);
        var closed = await service.Api.FinishedAsync(run.Id, before.Length + after.Length - 1);

        Truth.AssertMet(said.Truth, closed.Result);
        var gap = Assert.Single(closed.Result!.Findings, finding => finding.Code == FindingCodes.DataGap);
        Assert.InRange(gap.Value!.Value, PluggedInSeconds - PulledOutSeconds - 0.1, PluggedInSeconds - PulledOutSeconds + 0.1);
        Assert.Empty((await service.Api.TesterAsync(Bench)).Alarms);
    }

    private static Task SpeakAsync(SocatPair line, IEnumerable<Core.Readings.ReadingRow> rows) =>
        SerialSpeaker.OnPort(line.TesterEnd, 115_200, TimeProvider.System, Assert.Fail).SpeakAsync(rows, Specimens.Speed, TestContext.Current.CancellationToken);
}
