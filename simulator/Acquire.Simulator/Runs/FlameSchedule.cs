namespace Acquire.Simulator;

/// <summary>The tester's test flame: due by temperature as read, one pass after the other, none while the cup burns.</summary>
internal sealed class FlameSchedule : ITestFlame
{
    // The mechanism reacts within 0.4 s and averages its thermometer for about a second; assumed.
    private const double ReactionSeconds = 0.4, TriggerCelsius = 0.02;

    private readonly SimulatorOptions options;
    private double intervalCelsius;
    private readonly double passSeconds;
    private readonly SimulatorRandom random;
    private double dueCelsius;
    private double triggerErrorCelsius;
    private double startsAtSeconds = double.NaN;

    public FlameSchedule(SimulatorOptions options, SimulatorRandom random)
    {
        this.random = random;
        this.options = options;
        var rules = options.Rules;
        intervalCelsius = rules.Applications.IntervalCelsius;
        passSeconds = rules.Applications.PassSeconds;
        dueCelsius = rules.FirstApplicationCelsius;
        triggerErrorCelsius = TriggerCelsius * random.NextGaussian();
    }

    /// <inheritdoc/>
    public FlamePass? Current { get; private set; }

    /// <inheritdoc/>
    public int PassesAfterFlash => options.Scouting ? 0 : 3;

    /// <inheritdoc/>
    public bool IsDone => false;

    /// <inheritdoc/>
    public IReadOnlyList<SimulatedKey> Keys => [];

    /// <inheritdoc/>
    public bool Step(double seconds, double readCelsius, bool burning)
    {
        if (Current is { Judged: false } pass)
        {
            pass.Judged = seconds >= pass.MiddleSeconds;
            return pass.Judged;
        }

        var away = Current is null || seconds >= Current.EndSeconds;
        if (!double.IsNaN(startsAtSeconds))
        {
            if (seconds >= startsAtSeconds)
            {
                Current = new((Current?.Number ?? 0) + 1, seconds, passSeconds * random.Scatter(0.04));
                startsAtSeconds = double.NaN;
                MoveOn(readCelsius);
            }
        }
        else if (away && !burning && readCelsius + triggerErrorCelsius >= dueCelsius)
        {
            startsAtSeconds = seconds + random.Between(0.05, ReactionSeconds);
        }

        return false;
    }

    /// <summary>A step of the schedule that was overtaken while the cup burned or the heating ran away is left out, not caught up.</summary>
    private void MoveOn(double readCelsius)
    {
        if (options.Scouting)
        {
            // What has not flashed here flashes higher: the interval is that for higher flash points.
            intervalCelsius = options.RulesFrom(readCelsius).Applications.IntervalCelsius;
        }

        do
        {
            dueCelsius += intervalCelsius;
        }
        while (dueCelsius <= readCelsius);
        triggerErrorCelsius = TriggerCelsius * random.NextGaussian();
    }
}

/// <summary>One pass of the test flame as it is made.</summary>
internal sealed class FlamePass(int number, double startSeconds, double durationSeconds)
{
    public int Number { get; } = number;

    public double StartSeconds { get; } = startSeconds;

    public double DurationSeconds { get; } = durationSeconds;

    public double MiddleSeconds => StartSeconds + (DurationSeconds / 2);

    public double EndSeconds => StartSeconds + DurationSeconds;

    public bool FromLeft => Number % 2 == 1;

    public bool Judged { get; set; }

    /// <summary>Whether the person who made it has looked at what became of it.</summary>
    public bool IsSeen { get; set; }
}
