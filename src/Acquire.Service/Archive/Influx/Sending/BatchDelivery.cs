using System.Globalization;
using Acquire.Service.Archive.Influx.Keeping;

namespace Acquire.Service.Archive.Influx.Sending;

/// <summary>Brings one batch to the server, one request a step: halves what is too large, and searches what holds a bad line until that line is alone.</summary>
/// <remarks>
/// A line is set aside only when the server has just taken something else: another part of the batch, or a line that cannot be wrong.
/// A server that takes nothing at all is not right, whatever it says of the lines, and then nothing is set aside.
/// Where it says that it dropped as many points as there were lines, each of them is bad, and none needs to be searched for: so it is where a bucket keeps less than the archive.
/// </remarks>
internal sealed class BatchDelivery
{
    // Some servers answer 500 to a line that they will never take.
    private const int FailuresOfOneRequest = 5;
    private const int InternalError = 500;

    private readonly OutboxBatch _batch;
    private readonly TimeProvider _time;
    private readonly Stack<(int First, int Count)> _left = new();
    private readonly List<SetAside> _taken = [];
    private readonly List<SetAside> _aside;
    private bool _takesSomething;
    private int _failures;
    private bool _suspected;

    public BatchDelivery(OutboxBatch batch, TimeProvider time)
    {
        (_batch, _time, _aside) = (batch, time, [.. batch.Unsendable]);
        if (batch.Count > 0)
        {
            _left.Push((0, batch.Count));
        }
    }

    /// <summary>Whether each line was taken or set aside.</summary>
    public bool IsDone => _left.Count == 0;

    /// <summary>What was taken, as stretches of records.</summary>
    public IReadOnlyList<SetAside> Taken => _taken;

    /// <summary>What was set aside.</summary>
    public IReadOnlyList<SetAside> Aside => _aside;

    /// <summary>Lines taken so far.</summary>
    public int TakenLines { get; private set; }

    /// <summary>Requests made so far.</summary>
    public int Requests { get; private set; }

    /// <summary>Largest number of lines that the server found not too large; null where it found none too large.</summary>
    public int? LargestLines { get; private set; }

    /// <summary>One request, or two. What stands in the way; null where there was progress. Nothing is lost by trying again.</summary>
    public async Task<WriteAnswer?> StepAsync(InfluxEndpoint endpoint, CancellationToken cancellationToken)
    {
        // Only looked at until the answer has come: a step that is cancelled has changed nothing.
        var (first, count) = _left.Peek();
        Requests++;
        var answer = await endpoint.WriteAsync(_batch.Text(first, count), cancellationToken).ConfigureAwait(false);
        switch (answer.Outcome)
        {
            case WriteOutcome.Taken:
                _left.Pop();
                (_takesSomething, _failures, TakenLines) = (true, 0, TakenLines + count);
                _taken.AddRange(_batch.Stretches(first, count, answer.Status, ""));
                return null;
            case WriteOutcome.TooLarge when count > 1:
                LargestLines = count / 2;
                Halve();
                return null;
            case WriteOutcome.BadLines when count > 1 && ServerWords.Dropped(answer.ServerWords) < count:
                Halve();
                return null;
            case WriteOutcome.BadLines or WriteOutcome.TooLarge:
                return await PutAsideAsync(endpoint, answer, cancellationToken).ConfigureAwait(false);
            case WriteOutcome.Later when answer.Status == InternalError && ++_failures >= (_suspected ? 1 : FailuresOfOneRequest):
                return await SearchAsync(endpoint, answer, cancellationToken).ConfigureAwait(false);
            default:
                (_takesSomething, _suspected) = (false, false);
                return answer;
        }
    }

    private void Halve()
    {
        var (first, count) = _left.Pop();
        _failures = 0;
        _left.Push((first + (count / 2), count - (count / 2)));
        _left.Push((first, count / 2));
    }

    private async Task<WriteAnswer?> PutAsideAsync(InfluxEndpoint endpoint, WriteAnswer answer, CancellationToken cancellationToken)
    {
        if (!_takesSomething && await ProbeAsync(endpoint, answer, cancellationToken).ConfigureAwait(false) is { } trouble)
        {
            return trouble;
        }

        var (first, count) = _left.Pop();
        _failures = 0;
        _aside.AddRange(_batch.Stretches(first, count, answer.Status, answer.ServerWords.Length > 0 ? answer.ServerWords : $"status {answer.Status}"));
        return null;
    }

    // A request that fails again and again while others do not holds a line that the server stumbles over.
    private async Task<WriteAnswer?> SearchAsync(InfluxEndpoint endpoint, WriteAnswer answer, CancellationToken cancellationToken)
    {
        (_takesSomething, _suspected) = (false, true);
        if (_left.Peek().Count == 1)
        {
            return await PutAsideAsync(endpoint, answer, cancellationToken).ConfigureAwait(false);
        }

        if (await ProbeAsync(endpoint, answer, cancellationToken).ConfigureAwait(false) is { } trouble)
        {
            return trouble;
        }

        Halve();
        return null;
    }

    // Null where the server takes a line that cannot be wrong: the fault is then in ours.
    private async Task<WriteAnswer?> ProbeAsync(InfluxEndpoint endpoint, WriteAnswer answer, CancellationToken cancellationToken)
    {
        Requests++;
        var now = (_time.GetUtcNow().UtcTicks - DateTime.UnixEpoch.Ticks) * 100;
        var probe = await endpoint.WriteAsync(string.Create(CultureInfo.InvariantCulture, $"probe taken=1 {now}\n"), cancellationToken).ConfigureAwait(false);
        _takesSomething = probe.Outcome == WriteOutcome.Taken;
        return probe.Outcome switch
        {
            WriteOutcome.Taken => null,
            WriteOutcome.BadLines or WriteOutcome.TooLarge => probe with { Outcome = WriteOutcome.Refused, Words = $"{answer.Words}, and takes no other line either: check influx.url, influx.org and influx.bucket" },
            _ => probe,
        };
    }
}
