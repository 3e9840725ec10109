namespace Acquire.Simulator;

/// <summary>The mechanism that swings the test flame over the cup and on to the other side, as it is told.</summary>
/// <remarks>Position in radii of the cup's rim: within 1 the flame is over the cup, at 3 it rests. Figures assumed.</remarks>
internal sealed class TestFlameArm(double reactionSeconds, SimulatorRandom random)
{
    private const double Rest = 3, Rim = 1;

    // From the rim to the middle, s.
    private const double ToMiddleSeconds = 0.3;

    private double side = -1;
    private double reaction = 1;
    private bool told;

    /// <summary>Where the flame is.</summary>
    public double Position { get; private set; } = -Rest;

    /// <summary>Whether it is over the cup.</summary>
    public bool IsOver => Math.Abs(Position) <= Rim;

    /// <summary>Whether it rests beside the cup.</summary>
    public bool IsAtRest => Math.Abs(Position) >= Rest;

    /// <summary>Whether the newest pass came from the left.</summary>
    public bool FromLeft => side < 0;

    /// <summary>Moves for one step of time.</summary>
    public void Step(bool over, double seconds)
    {
        if (over != told)
        {
            told = over;
            reaction = Math.Max(0.02, reactionSeconds * random.Scatter(0.1));
        }

        if (!IsOver)
        {
            // Wherever it is called from, it leaves on the side it did not come from.
            side = Math.Sign(Position);
        }

        var target = over ? 0 : IsOver ? -side * Rest : Math.Sign(Position) * Rest;
        var perSecond = !IsOver ? (Rest - Rim) / reaction : over ? Rim / ToMiddleSeconds : Rim / reaction;
        var way = target - Position;
        Position += Math.Sign(way) * Math.Min(Math.Abs(way), perSecond * seconds);
    }

    /// <summary>How much of a sight of the given width, in radii at half height, the flame fills, 0 to 1.</summary>
    public double Seen(double fullWidth, double offset)
    {
        var off = (Position - offset) / fullWidth;
        return Math.Exp(-4 * Math.Log(2) * off * off);
    }
}
