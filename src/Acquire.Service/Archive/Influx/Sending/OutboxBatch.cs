using System.Text;
using Acquire.Core.Readings;
using Acquire.Core.Runs;
using Acquire.Service.Archive.Influx.Feeding;
using Acquire.Service.Archive.Influx.Keeping;
using Acquire.Service.Archive.Influx.Lines;

namespace Acquire.Service.Archive.Influx.Sending;

/// <summary>Lines that are sent together, and which record each is made of. Filled and emptied again: its memory is that of the largest batch.</summary>
internal sealed class OutboxBatch
{
    private const string NoTime = "not sent: its time cannot be told in nanoseconds";

    private readonly StringBuilder _text = new();
    private readonly List<LineOf> _lines = [];
    private readonly List<int> _starts = [];
    private readonly List<SetAside> _unsendable = [];
    private readonly PointWriter _writer;
    private readonly TimeProvider _time;

    public OutboxBatch(TimeProvider time) => (_writer, _time) = (new(_text), time);

    /// <summary>Lines in it.</summary>
    public int Count => _lines.Count;

    /// <summary>Records that cannot become lines.</summary>
    public IReadOnlyList<SetAside> Unsendable => _unsendable;

    /// <summary>Whether there is nothing to do.</summary>
    public bool IsEmpty => _lines.Count == 0 && _unsendable.Count == 0;

    /// <summary>Which record a line is made of.</summary>
    public LineOf this[int index] => _lines[index];

    /// <summary>A row.</summary>
    public void Add(FeedRun run, long index, in ReadingRow row)
    {
        var start = _text.Length;
        Added(_writer.Write(run, index, row), start, run, LineKind.Reading, index);
    }

    /// <summary>A fact.</summary>
    public void Add(FeedRun run, long sequence, RunOutput fact)
    {
        var start = _text.Length;
        Added(_writer.Write(run, sequence, fact), start, run, LineKind.Event, sequence);
    }

    /// <summary>A result.</summary>
    public void Add(FeedRun run, FeedResult result)
    {
        var start = _text.Length;
        Added(_writer.Write(run, result), start, run, LineKind.Result, result.Index);
    }

    /// <summary>Records that cannot become lines.</summary>
    public void Refuse(FeedRun run, LineKind kind, long first, long count, string words)
    {
        var bounded = words.Length <= SetAside.LongestWords ? words : words[..SetAside.LongestWords];
        _unsendable.Add(new(run.Number, run.Id, kind, first, count, 0, bounded, _time.GetUtcNow()));
    }

    /// <summary>The text of some lines.</summary>
    public string Text(int first, int count)
    {
        var (from, to) = (_starts[first], first + count == _starts.Count ? _text.Length : _starts[first + count]);
        return _text.ToString(from, to - from);
    }

    /// <summary>Some lines as stretches of records.</summary>
    public IEnumerable<SetAside> Stretches(int first, int count, int status, string words)
    {
        SetAside? open = null;
        for (var index = first; index < first + count; index++)
        {
            var line = _lines[index];
            if (open is not null && open.RunId == line.RunId && open.Kind == line.Kind && open.End == line.Index)
            {
                open = open with { Count = open.Count + 1 };
                continue;
            }

            if (open is not null)
            {
                yield return open;
            }

            open = new(line.Run, line.RunId, line.Kind, line.Index, 1, status, words, _time.GetUtcNow());
        }

        if (open is not null)
        {
            yield return open;
        }
    }

    /// <summary>Empties it.</summary>
    public void Clear()
    {
        _text.Clear();
        _lines.Clear();
        _starts.Clear();
        _unsendable.Clear();
    }

    private void Added(bool written, int start, FeedRun run, LineKind kind, long index)
    {
        if (written)
        {
            _starts.Add(start);
            _lines.Add(new(run.Number, run.Id, kind, index));
        }
        else
        {
            Refuse(run, kind, index, 1, NoTime);
        }
    }
}
