namespace Acquire.Core.Detection;

/// <summary>How likely each idea of the nuisance made a window that was put on an even spacing: an idea far behind the likeliest need not be asked of the readings themselves.</summary>
/// <remarks>Significance hangs on the likeliest idea with a flash and the likeliest without one alone, and putting the window on an even spacing changes how ideas stand to each other by little.</remarks>
internal sealed class IdeaLogs
{
    // An idea so far behind, as a logarithm, did not come to be the likeliest in any of 355 windows of scenes with flashes and draughts; with 2 one did, and moved the significance by 0.005.
    private const double Margin = 3;

    private readonly List<(double None, double With)> _ideas = new(16);
    private double _mostNone;
    private double _mostWith;
    private int _kept;

    /// <summary>Begins anew, with the usual idea, which is asked in any case.</summary>
    public void Begin(in FlashIdea usual)
    {
        _ideas.Clear();
        (_mostNone, _mostWith, _kept) = (usual.NoneLog, usual.WithLog, -1);
    }

    /// <summary>What another idea made of it; null where numbers could not carry it.</summary>
    public void Add(FlashIdea? idea)
    {
        var (none, with) = idea is { } made ? (made.NoneLog, made.WithLog) : (double.PositiveInfinity, double.PositiveInfinity);
        _ideas.Add((none, with));
        if (idea is not null)
        {
            (_mostNone, _mostWith) = (Math.Max(_mostNone, none), Math.Max(_mostWith, with));
        }
    }

    /// <summary>One that matters whatever it made: a second flash was looked for with it.</summary>
    /// <param name="idea">Which, in the order they were added; -1 for the usual one, which is asked in any case.</param>
    public void Keep(int idea) => _kept = idea;

    /// <summary>Which of the other ideas matter, in the order they were added.</summary>
    /// <param name="matter">Receives it; as many as were added at least.</param>
    /// <returns>How many were added.</returns>
    public int Matter(Span<bool> matter)
    {
        for (var i = 0; i < _ideas.Count; i++)
        {
            matter[i] = i == _kept || !(_ideas[i].None <= _mostNone - Margin && _ideas[i].With <= _mostWith - Margin);
        }

        return _ideas.Count;
    }
}
