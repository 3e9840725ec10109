using System.Globalization;
using Acquire.Service.Configuration;

namespace Acquire.Service.Sources.Modbus;

/// <summary>One request of a tester with its timer, and how it fared lately.</summary>
/// <param name="plan">Request and values.</param>
/// <param name="timer">When it is due.</param>
internal sealed class TesterPoll(PlannedPoll plan, PollTimer timer)
{
    /// <summary>After so many polls in a row without an answer the tester counts as not connected.</summary>
    public const int FailuresUntilDown = 3;

    /// <summary>How long a unit that does not answer is left alone between attempts, so that the others have the line.</summary>
    public static readonly TimeSpan RestWhenDown = TimeSpan.FromSeconds(1);

    private string _fault = "";

    /// <summary>Request and values.</summary>
    public PlannedPoll Plan => plan;

    /// <summary>When it is due.</summary>
    public PollTimer Timer => timer;

    /// <summary>Polls without an answer since the last one that had one.</summary>
    public int Failures { get; private set; }

    /// <summary>Whether it was ever answered since the wire was opened.</summary>
    public bool Answered { get; private set; }

    /// <summary>Why the tester counts as not connected; null where this poll is answered.</summary>
    public string? Fault => Failures >= FailuresUntilDown ? _fault : null;

    /// <summary>The wire was opened anew.</summary>
    public void Reopened() => (Failures, Answered) = (0, false);

    /// <summary>An answer came, be it a refusal.</summary>
    public void Succeed() => (Failures, Answered) = (0, true);

    /// <summary>No answer came.</summary>
    /// <param name="wire">Name of the wire.</param>
    /// <param name="what">What came instead; null where nothing did.</param>
    public void Fail(string wire, string? what)
    {
        Failures = Math.Min(Failures + 1, FailuresUntilDown);
        _fault = string.Create(CultureInfo.InvariantCulture, $"unit {plan.Request.UnitId} at {wire} ") + (what is null
            ? "does not answer: check its power, its cable and source.unitId"
            : $"gives no answer that can be read; the newest: {what}");
    }

    /// <summary>The request in a few words, for refusals.</summary>
    /// <param name="wire">Name of the wire.</param>
    public string Place(string wire)
    {
        var (unit, table, address, count) = plan.Request;
        var last = count == 1 ? "" : string.Create(CultureInfo.InvariantCulture, $" to {address + count - 1}");
        return string.Create(CultureInfo.InvariantCulture, $"{wire} unit {unit}, {(table == RegisterTable.Holding ? "holding" : "input")} registers {address}{last}");
    }
}
