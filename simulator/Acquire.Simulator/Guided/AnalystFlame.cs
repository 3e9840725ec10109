using Acquire.Core.Runs;

namespace Acquire.Simulator;

/// <summary>The test flame in the hand of a person who follows the prompts of the program's own supervisor.</summary>
internal sealed class AnalystFlame : ITestFlame
{
    // As often as a hand-worked cup's thermometer is read here, s.
    private const double ReadEverySeconds = 0.1;

    // A burn that is over before anybody could tell it from a flash, s; a halo weaker than this is not seen.
    private const double BriefBurnSeconds = 1.5, SeenHalo = 0.3;

    private readonly SimulatedAnalyst analyst;
    private readonly Func<SimulatedApplication> newest;
    private readonly SimulatorRandom random;
    private readonly RunPlan plan;
    private readonly RunState state;
    private readonly List<RunOutput> facts = [];
    private readonly List<(double At, Sighting? Seen)> keys = [];
    private readonly double passSeconds;
    private readonly double intervalCelsius;
    private int keyed;
    private double readAtSeconds = double.NegativeInfinity;
    private double passAtSeconds = double.NaN;
    private double passFromCelsius = double.NegativeInfinity;
    private double doneSinceSeconds = double.NaN;

    /// <param name="options">The run.</param>
    /// <param name="analyst">The person.</param>
    /// <param name="newest">What became of the pass that was judged last.</param>
    public AnalystFlame(SimulatorOptions options, SimulatedAnalyst analyst, Func<SimulatedApplication> newest)
    {
        (this.analyst, this.newest) = (analyst, newest);
        random = new(options.Seed, RandomPurpose.Analyst);
        passSeconds = options.Rules.Applications.PassSeconds;
        intervalCelsius = options.Rules.Applications.IntervalCelsius;
        plan = options.Aim.Plan(options.Method) with
        {
            StationPressureKilopascals = options.StationPressureKilopascals,
            HasFlameSignal = false,
            Mode = RunMode.Guided,
            PromptLeadSeconds = analyst.PromptLeadSeconds,
        };
        state = RunSupervisor.Begin(plan);
        PassesAfterFlash = options.Method.FirePoint.Determined && !options.Scouting ? 3 : 0;
    }

    /// <inheritdoc/>
    public FlamePass? Current { get; private set; }

    /// <inheritdoc/>
    public int PassesAfterFlash { get; }

    /// <inheritdoc/>
    public bool IsDone { get; private set; }

    /// <inheritdoc/>
    public IReadOnlyList<SimulatedKey> Keys => [.. keys.Select(key => new SimulatedKey(Math.Round(key.At, 3), key.Seen is { } seen ? PersonEntryWords.Word(seen) : PersonEntryWords.TakenBack))];

    /// <inheritdoc/>
    public bool Step(double seconds, double readCelsius, bool burning)
    {
        Press(seconds);
        Read(seconds, readCelsius);
        if (Current is { Judged: false } pass)
        {
            pass.Judged = seconds >= pass.MiddleSeconds;
            return pass.Judged;
        }

        if (Current is { IsSeen: false } made && seconds >= made.EndSeconds)
        {
            made.IsSeen = true;
            See(made);
        }

        if (!burning && seconds >= passAtSeconds && readCelsius >= passFromCelsius && (Current is null || seconds >= Current.EndSeconds))
        {
            Current = new((Current?.Number ?? 0) + 1, seconds, passSeconds * random.Scatter(0.1));
            passAtSeconds = double.NaN;
        }

        return false;
    }

    // What the supervisor hears of the keys it hears at their time.
    private void Press(double seconds)
    {
        for (; keyed < keys.Count && keys[keyed].At <= seconds; keyed++)
        {
            var (at, seen) = keys[keyed];
            RunSupervisor.Step(state, plan, seen is { } sight ? RunInput.Observation(at, sight) : RunInput.Withdrawal(at), facts);
        }
    }

    private void Read(double seconds, double readCelsius)
    {
        if (seconds < readAtSeconds + ReadEverySeconds - 1e-6)
        {
            return;
        }

        readAtSeconds = seconds;
        RunSupervisor.Step(state, plan, RunInput.Temperature(seconds, readCelsius), facts);
        foreach (var prompt in facts.OfType<ApplicationPrompted>())
        {
            var mistake = Mistake(prompt.Number);
            passAtSeconds = prompt.AtSeconds + After(analyst.AnswerSeconds) + (mistake is { Kind: AnalystMistakeKind.Late } late ? late.Seconds : 0);
            passFromCelsius = mistake is { Kind: AnalystMistakeKind.Missed } ? prompt.DueCelsius + intervalCelsius : double.NegativeInfinity;
        }

        facts.Clear();
        if (state.Phase is not (RunPhase.Cooling or RunPhase.Closed))
        {
            doneSinceSeconds = double.NaN;
        }
        else if (double.IsNaN(doneSinceSeconds))
        {
            doneSinceSeconds = seconds;
        }

        // The determination is over, by what was keyed in: whoever works the cup turns the heater off, after the time to take a wrong key back.
        IsDone = seconds - doneSinceSeconds > ObservationWithdrawn.LongestSeconds;
    }

    private void See(FlamePass pass)
    {
        var application = newest();
        var burns = application.BurnedSeconds > BriefBurnSeconds;
        var sight = burns ? Sighting.Burning : application.Flashed ? Sighting.Flash : application.Halo > SeenHalo ? Sighting.Halo : Sighting.Nothing;
        var at = pass.EndSeconds + After(analyst.ReactionSeconds);
        var (pressed, mistake) = (sight, Mistake(pass.Number));
        if (mistake?.Pressed is { } wrong)
        {
            keys.Add((at, wrong));
            pressed = wrong;
            if (mistake.Kind == AnalystMistakeKind.TakenBack)
            {
                keys.Add((at + mistake.Seconds, null));
                at += mistake.Seconds + After(analyst.ReactionSeconds);
                keys.Add((at, sight));
                pressed = sight;
            }
        }
        else
        {
            keys.Add((at, sight));
        }

        if (pressed == Sighting.Burning)
        {
            // A fire that is none was keyed in: it is seen to be out at the next look.
            var end = burns ? application.TimeSeconds + (application.DurationSeconds / 2) + application.BurnedSeconds : pass.EndSeconds + 1;
            keys.Add((Math.Max(at + 0.5, end + After(analyst.ReactionSeconds)), Sighting.WentOut));
        }

        // Those that were pressed already lie before all new ones.
        keys.Sort((one, other) => one.At.CompareTo(other.At));
    }

    private AnalystMistake? Mistake(int application) => analyst.Mistakes.FirstOrDefault(mistake => mistake.Application == application);

    private double After(double usual) => Math.Max(0.1, usual + (analyst.ScatterSeconds * Math.Clamp(random.NextGaussian(), -2, 2)));
}
