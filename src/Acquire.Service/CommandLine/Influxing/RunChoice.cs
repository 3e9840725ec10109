using System.CommandLine;
using Acquire.Service.Archive.Influx.Feeding;

namespace Acquire.Service.CommandLine.Influxing;

/// <summary>Which runs are meant.</summary>
/// <param name="Run">Only this one; null for all.</param>
/// <param name="From">Only those begun on this day (UTC) or later; null for all.</param>
/// <param name="To">Only those begun on this day (UTC) or earlier; null for all.</param>
internal sealed record RunChoice(string? Run, DateOnly? From, DateOnly? To)
{
    private const int RunsPerRead = 256;

    /// <summary>The options, in the order in which <see cref="Of"/> reads them.</summary>
    public static (Option<string?> Run, Option<DateOnly?> From, Option<DateOnly?> To) Options() => (
        new("--run") { Description = "Only the run with this id." },
        new("--from") { Description = "Only runs begun on this day (UTC) or later, such as 2026-03-02.", CustomParser = DayOption.Parse },
        new("--to") { Description = "Only runs begun on this day (UTC) or earlier.", CustomParser = DayOption.Parse });

    /// <summary>What was chosen.</summary>
    public static RunChoice Of(ParseResult parsed, (Option<string?> Run, Option<DateOnly?> From, Option<DateOnly?> To) options) =>
        new(parsed.GetValue(options.Run), parsed.GetValue(options.From), parsed.GetValue(options.To));

    /// <summary>The runs, by number.</summary>
    public IEnumerable<FeedRun> In(ArchiveFeed archive)
    {
        var number = long.MinValue;
        while (archive.RunsAfter(number, RunsPerRead) is { Count: > 0 } page)
        {
            foreach (var run in page.Where(Has))
            {
                yield return run;
            }

            number = page[^1].Number;
        }
    }

    private bool Has(FeedRun run)
    {
        var day = DateOnly.FromDateTime(run.StartedAt.UtcDateTime);
        return (Run is null || run.Id == Run) && (From is not { } from || day >= from) && (To is not { } to || day <= to);
    }
}
