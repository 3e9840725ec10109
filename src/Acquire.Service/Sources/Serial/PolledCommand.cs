using Acquire.Service.Configuration;

namespace Acquire.Service.Sources.Serial;

/// <summary>One command of a polled tester with its timer, and how it fared lately.</summary>
/// <param name="config">Command and layout.</param>
/// <param name="decoder">Reads its answers.</param>
/// <param name="timer">When it is due.</param>
internal sealed class PolledCommand(PollCommand config, LineDecoder decoder, PollTimer timer)
{
    /// <summary>After so many commands in a row without an answer the tester counts as not connected.</summary>
    public const int FailuresUntilDown = 3;

    /// <summary>How long a tester that does not answer is left alone between attempts.</summary>
    public static readonly TimeSpan RestWhenDown = TimeSpan.FromSeconds(1);

    private string _fault = "";
    private int _failures;

    /// <summary>Command and layout.</summary>
    public PollCommand Config => config;

    /// <summary>Reads its answers.</summary>
    public LineDecoder Decoder => decoder;

    /// <summary>When it is due.</summary>
    public PollTimer Timer => timer;

    /// <summary>The command as a person writes it.</summary>
    public string Shown { get; } = JsonText.Shown(WireText.Escape(config.Send.Span));

    /// <summary>Whether the newest attempt was answered, since the port was opened.</summary>
    public bool Answered { get; private set; }

    /// <summary>Why the tester counts as not connected; null where it is not known to be away.</summary>
    public string? Fault => _failures >= FailuresUntilDown ? _fault : null;

    /// <summary>The port was opened anew.</summary>
    public void Reopened() => (_failures, Answered) = (0, false);

    /// <summary>A line came in answer.</summary>
    public void Succeed() => (_failures, Answered) = (0, true);

    /// <summary>No line came.</summary>
    /// <param name="fault">What to say of it.</param>
    public void Fail(string fault) => (_failures, Answered, _fault) = (Math.Min(_failures + 1, FailuresUntilDown), false, fault);
}
