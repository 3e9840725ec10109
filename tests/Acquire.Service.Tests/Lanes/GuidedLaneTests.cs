using System.Text.Json;
using Acquire.Core.Alarms;
using Acquire.Core.Readings;
using Acquire.Core.Runs;
using Acquire.Service.Configuration;
using Acquire.Service.Lanes;
using Acquire.Service.Lanes.Archiving;
using Microsoft.Extensions.Time.Testing;
using Xunit;

namespace Acquire.Service.Tests.Lanes;

public sealed class GuidedLaneTests
{
    private static readonly TesterConfig Guided = TestTester.Config() with { Mode = RunMode.Guided, PromptLeadSeconds = 3 };

    private static CancellationToken Cancelled => TestContext.Current.CancellationToken;

    // From 100 °C on, 1 °C a row and ten rows a second, thermometer alone.
    private static IEnumerable<ReadingRow> Heated(int rows) =>
        Enumerable.Range(0, rows).Select(index => new ReadingRow(500 + (index / 10.0), RowChannels.Temperature, 100 + (index * 0.05), 0, false));

    [Fact(Timeout = 30000)]
    public async Task What_was_seen_is_archived_at_the_newest_reading_plus_the_time_since_it_came()
    {
        await using var bench = new LaneBench(Guided, TestContext.Current.CancellationToken);
        var run = await bench.StartAsync();
        await bench.SendAsync(Heated(20));
        bench.Time.Advance(TimeSpan.FromMilliseconds(40));

        var answer = await bench.Lane.ObserveAsync(run.Id, Sighting.Halo, null, Cancelled);

        Assert.Equal(CommandOutcome.Done, answer.Outcome);
        var made = Assert.Single(bench.Archive.ReadEvents(run.Id, 0).OfType<ObservationMade>());
        Assert.Equal((1.9, Sighting.Halo), (made.ReadingSeconds, made.Seen));
        Assert.Equal(1.94, made.AtSeconds, tolerance: 1e-9);
    }

    [Fact(Timeout = 30000)]
    public async Task The_plan_says_that_the_run_is_guided_and_how_early_it_asks()
    {
        await using var bench = new LaneBench(Guided, TestContext.Current.CancellationToken);

        var run = await bench.StartAsync();

        var plan = bench.Archive.FindRun(run.Id)!.Plan;
        Assert.Equal((RunMode.Guided, 3.0), (plan.Mode, plan.PromptLeadSeconds));
    }

    [Fact(Timeout = 30000)]
    public async Task A_run_that_is_not_open_not_guided_or_without_a_temperature_takes_nothing()
    {
        await using var observed = new LaneBench(TestTester.Config(), Cancelled);
        var other = await observed.StartAsync();
        await observed.SendAsync(Heated(2));
        await using var bench = new LaneBench(Guided, TestContext.Current.CancellationToken);
        var run = await bench.StartAsync();

        var notGuided = await observed.Lane.ObserveAsync(other.Id, Sighting.Flash, null, Cancelled);
        var unread = await bench.Lane.ObserveAsync(run.Id, Sighting.Flash, null, Cancelled);
        await bench.StopAsync(run.Id);
        var closed = await bench.Lane.ObserveAsync(run.Id, Sighting.Flash, null, Cancelled);

        Assert.Equal((CommandOutcome.NotTaken, CommandOutcome.NotTaken, CommandOutcome.NotOpen), (notGuided.Outcome, unread.Outcome, closed.Outcome));
        Assert.Contains("no temperature", unread.Text, StringComparison.Ordinal);
        Assert.Empty(bench.Archive.ReadEvents(run.Id, 0).OfType<ObservationMade>());
    }

    [Fact(Timeout = 30000)]
    public async Task An_archived_guided_run_is_judged_again_to_the_same_facts_and_result()
    {
        await using var bench = new LaneBench(Guided, TestContext.Current.CancellationToken);
        var run = await bench.StartAsync();
        var keys = new Dictionary<int, Sighting> { [1950] = Sighting.Nothing, [1990] = Sighting.Nothing, [2030] = Sighting.Halo, [2050] = Sighting.Flash, [2070] = Sighting.Flash, [2110] = Sighting.Burning };
        var rows = Heated(2200).ToArray();
        for (var index = 0; index < rows.Length; index++)
        {
            await bench.SendAsync(rows[index]);
            if (keys.TryGetValue(index, out var seen))
            {
                bench.Time.Advance(TimeSpan.FromMilliseconds(30));
                Assert.Equal(CommandOutcome.Done, (await bench.Lane.ObserveAsync(run.Id, seen, null, Cancelled)).Outcome);
            }

            // The flash at 2050 was a wrong key.
            if (index == 2055)
            {
                Assert.Equal(CommandOutcome.Done, (await bench.Lane.WithdrawAsync(run.Id, null, null, Cancelled)).Outcome);
            }
        }

        await bench.UntilAsync(() => bench.Archive.ArchivedRows(run.Id) == rows.Length || bench.Run?.ClosedAt is not null);
        var closed = await bench.StopAsync(run.Id);

        var detail = bench.Archive.FindRun(run.Id)!;
        var facts = bench.Archive.ReadEvents(run.Id, 0).ToList();
        var again = new List<RunOutput>();
        var result = RunReplay.RunWhole(detail.Plan, bench.Archive.ReadRows(run.Id), facts, again);
        Assert.Equal(JsonSerializer.Serialize(facts), JsonSerializer.Serialize(again));
        Assert.Equal(JsonSerializer.Serialize(closed.Result), JsonSerializer.Serialize(result));
        Assert.NotNull(result.Flash);
        Assert.NotNull(result.Fire);
    }

    [Fact(Timeout = 30000)]
    public async Task A_wrong_key_is_taken_back_once_and_only_the_newest_and_both_are_archived()
    {
        await using var bench = new LaneBench(Guided, TestContext.Current.CancellationToken);
        var run = await bench.StartAsync();
        await bench.SendAsync(Heated(20));
        var early = await bench.Lane.WithdrawAsync(run.Id, null, "Ada", Cancelled);
        await bench.Lane.ObserveAsync(run.Id, Sighting.Burning, "Ada", Cancelled);
        Assert.Equal(Sighting.Burning, bench.Status!.WithdrawableSighting);
        bench.Time.Advance(TimeSpan.FromSeconds(2));

        var other = await bench.Lane.WithdrawAsync(run.Id, 1.5, "Ben", Cancelled);
        var back = await bench.Lane.WithdrawAsync(run.Id, 1.9, "Ben", Cancelled);
        var again = await bench.Lane.WithdrawAsync(run.Id, null, "Ben", Cancelled);

        Assert.Equal(
            (CommandOutcome.NotTaken, CommandOutcome.NotTaken, CommandOutcome.Done, CommandOutcome.NotTaken),
            (early.Outcome, other.Outcome, back.Outcome, again.Outcome));
        Assert.Contains("'burning' at 1.9 s", other.Text, StringComparison.Ordinal);
        var entries = bench.Archive.ReadEvents(run.Id, 0).OfType<PersonEntry>().ToArray();
        Assert.Equal([new ObservationMade(1.9, 1.9, Sighting.Burning, "Ada"), new ObservationWithdrawn(3.9, 1.9, 1.9, Sighting.Burning, "Ben")], entries);
        Assert.Null(bench.Status!.BurningSeconds);
        Assert.DoesNotContain(bench.Lane.Overview().Alarms, alarm => alarm.Code == AlarmCodes.SpecimenBurning);
    }

    [Fact(Timeout = 30000)]
    public async Task After_ten_seconds_nothing_is_taken_back()
    {
        await using var bench = new LaneBench(Guided, TestContext.Current.CancellationToken);
        var run = await bench.StartAsync();
        await bench.SendAsync(Heated(20));
        await bench.Lane.ObserveAsync(run.Id, Sighting.Halo, null, Cancelled);
        bench.Time.Advance(TimeSpan.FromSeconds(10.1));

        var late = await bench.Lane.WithdrawAsync(run.Id, null, null, Cancelled);

        Assert.Equal(CommandOutcome.NotTaken, late.Outcome);
        Assert.Contains("for 10 s", late.Text, StringComparison.Ordinal);
    }

    [Fact(Timeout = 30000)]
    public async Task What_cannot_be_archived_is_answered_so_and_archived_later()
    {
        await using var bench = new LaneBench(Guided, TestContext.Current.CancellationToken);
        var run = await bench.StartAsync();
        await bench.SendAsync(Heated(20));
        await bench.MeanwhileAsync(() => bench.Status is { AtSeconds: 1.9 });
        bench.BreakArchive();

        var answer = await bench.Lane.ObserveAsync(run.Id, Sighting.Nothing, null, Cancelled);

        Assert.Equal(CommandOutcome.ArchiveFailed, answer.Outcome);
        Assert.Contains("do not record it again", answer.Text, StringComparison.Ordinal);
        bench.MendArchive();
        await bench.UntilAsync(() => bench.Archive.ReadEvents(run.Id, 0).OfType<ObservationMade>().Any());
    }

    [Fact]
    public async Task What_was_seen_is_kept_even_when_judging_has_failed()
    {
        await using var archive = TestTester.OpenArchive();
        var journal = new LaneJournal(ArchivePort.To(archive), new FakeTimeProvider());
        var run = new OpenRun(
            new("r", "bench-1", "oil", TestTester.Order.Plan with { Mode = RunMode.Guided }, DateTimeOffset.UnixEpoch, "0", "wire"),
            (state, plan, in row, facts) => throw new InvalidOperationException("a bug"));
        run.Take(TestTester.Row(10));

        run.Observe(0.5, Sighting.Flash, null);
        run.HandOver(journal);

        Assert.Equal([new ObservationMade(0.5, 0, Sighting.Flash)], journal.Waiting.OfType<FactsStated>().Single().Facts);
    }
}
