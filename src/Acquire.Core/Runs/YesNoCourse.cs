using System.Text.Json.Serialization;

namespace Acquire.Core.Runs;

/// <summary>When something that is either so or not was so: its newest turns. Part of a run's snapshot.</summary>
/// <remarks>What an application was like is judged some seconds after it; by then a stirrer turns again. A sensor that says nothing for a while says that nothing has changed, unless it used to come with every row (<see cref="ChannelRhythm"/>).</remarks>
internal sealed class YesNoCourse
{
    private const int MostTurns = 64;

    [JsonInclude]
    private List<Turn> _turns = [];

    /// <summary>Time of the newest reading, s.</summary>
    [JsonInclude]
    public double ReadAt { get; private set; } = double.NegativeInfinity;

    /// <summary>What is so now; null before the first reading.</summary>
    [JsonIgnore]
    public bool? Newest => _turns.Count > 0 ? _turns[^1].Yes : null;

    /// <summary>Since when it is so, s; minus infinity before the first reading.</summary>
    [JsonIgnore]
    public double Since => _turns.Count > 0 ? _turns[^1].AtSeconds : double.NegativeInfinity;

    /// <summary>Takes a reading; times go forward.</summary>
    public void Take(double seconds, bool yes)
    {
        ReadAt = seconds;
        if (Newest == yes)
        {
            return;
        }

        _turns.Add(new(seconds, yes));
        if (_turns.Count > MostTurns)
        {
            _turns.RemoveRange(0, MostTurns / 2);
        }
    }

    /// <summary>From a moment on nothing is known, until the next reading.</summary>
    public void Forget(double seconds)
    {
        if (Newest is not null)
        {
            _turns.Add(new(Math.Max(seconds, Since), null));
        }
    }

    /// <summary>What was so at a moment; null where nothing is known of it.</summary>
    public bool? At(double seconds)
    {
        for (var i = _turns.Count - 1; i >= 0; i--)
        {
            if (_turns[i].AtSeconds <= seconds)
            {
                return _turns[i].Yes;
            }
        }

        return null;
    }

    /// <summary>Whether it is known to have been so at some moment of a stretch, ends included.</summary>
    public bool Ever(bool yes, double fromSeconds, double toSeconds) =>
        At(fromSeconds) == yes || _turns.Exists(turn => turn.Yes == yes && turn.AtSeconds > fromSeconds && turn.AtSeconds <= toSeconds);

    /// <summary>Whether it is known to have been so all through a stretch.</summary>
    public bool Always(bool yes, double fromSeconds, double toSeconds) => At(fromSeconds) == yes && !_turns.Exists(turn => turn.Yes != yes && turn.AtSeconds > fromSeconds && turn.AtSeconds <= toSeconds);
}

/// <summary>The moment from which something was so, or was not.</summary>
/// <param name="AtSeconds">When, s.</param>
/// <param name="Yes">Whether it was so from then on; null: not known.</param>
internal readonly record struct Turn(double AtSeconds, bool? Yes);
