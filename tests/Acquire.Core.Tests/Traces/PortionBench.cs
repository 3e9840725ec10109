using Acquire.Core.Methods;
using Acquire.Core.Runs;

namespace Acquire.Core.Tests.Traces;

/// <summary>A person at a small closed cup: sets the block, charges, waits, applies, says what was seen; with a mistake where a test wants one.</summary>
/// <remarks>Tests are counted from 1. No detector, no flame signal. All figures are ours: common practice, no source.</remarks>
internal sealed record PortionBench
{
    private const double RowSeconds = 0.25;

    /// <summary>Every portion at or above this temperature flashes, °C.</summary>
    public double FlashCelsius { get; init; } = 62.3;

    public RunPlan Plan { get; init; } = PlanOf("iso-3679-2022-b") with { ExpectedFlashCelsius = 60 };

    /// <summary>How long the block keeps its temperature before the portion is charged, s.</summary>
    public Func<int, double> SteadySeconds { get; init; } = _ => 63;

    /// <summary>How far off the block is when the portion is charged, °C.</summary>
    public Func<int, double> OffAtCharge { get; init; } = _ => 0;

    /// <summary>How far off it is half-way through the wait, °C.</summary>
    public Func<int, double> OffMeanwhile { get; init; } = _ => 0;

    /// <summary>How far off it is at the application, °C.</summary>
    public Func<int, double> OffAtApplication { get; init; } = _ => 0;

    /// <summary>Volume that is stated, mL.</summary>
    public Func<int, double?> Millilitres { get; init; } = _ => null;

    /// <summary>Added to the method's wait, s.</summary>
    public Func<int, double> WaitMore { get; init; } = _ => 0.5;

    /// <summary>What is seen; null: by the temperature.</summary>
    public Func<int, Sighting?> Sees { get; init; } = _ => null;

    /// <summary>What else happens after a test.</summary>
    public Action<Bench, int>? After { get; init; }

    /// <summary>What else happens half-way through the wait.</summary>
    public Action<Bench, int>? Meanwhile { get; init; }

    /// <summary>Tests after which the person leaves.</summary>
    public int MostTests { get; init; } = 100;

    public static RunPlan PlanOf(string id) => new()
    {
        Method = MethodCatalog.TryFind(id, out var method) ? method : throw new InvalidOperationException(id),
        ExpectedFlashCelsius = null,
        StationPressureKilopascals = 101.3,
        HasFlameSignal = false,
        Mode = RunMode.Guided,
    };

    /// <summary>Works until the program has its answer.</summary>
    /// <param name="between">What else is done to the state after each reading, such as saving and loading it.</param>
    public Judged Work(Func<RunState, RunState>? between = null)
    {
        var bench = new Bench(Plan, between ?? (state => state));
        bench.Hold(25, 2);
        for (var number = 1; number <= MostTests && bench.Status.Phase is not (RunPhase.Cooling or RunPhase.Closed); number++)
        {
            Test(bench, number);
        }

        bench.Take(RunInput.Stop(bench.Now));
        return new(bench.State.Result!, bench.Outputs);
    }

    private void Test(Bench bench, int number)
    {
        var set = bench.Status.Portions!.SetCelsius;
        var wait = bench.Status.Portions.WaitSeconds;
        bench.Drive(set);
        bench.Hold(set, SteadySeconds(number));
        bench.Hold(set + OffAtCharge(number), 3);
        bench.Take(RunInput.Portion(bench.Now, Millilitres(number)));
        bench.Hold(set, (wait / 2) - 6);
        bench.Hold(set + OffMeanwhile(number), 3);
        Meanwhile?.Invoke(bench, number);
        bench.Hold(set, (wait / 2) - 3);
        bench.Hold(set + OffAtApplication(number), 6 + WaitMore(number));
        bench.Take(RunInput.Observation(bench.Now, Sees(number) ?? (set >= FlashCelsius ? Sighting.Flash : Sighting.Nothing)));
        bench.Hold(set, 4);
        After?.Invoke(bench, number);
    }

    /// <summary>The cup and the supervisor.</summary>
    internal sealed class Bench(RunPlan plan, Func<RunState, RunState> between)
    {
        private double celsius = 25;
        private int rows;

        public RunState State { get; private set; } = RunSupervisor.Begin(plan);

        public List<RunOutput> Outputs { get; } = [];

        public double Now { get; private set; }

        public RunStatus Status => RunSupervisor.Status(State, plan);

        public void Take(RunInput input) => RunSupervisor.Step(State, plan, input, Outputs);

        /// <summary>Time passes with the block at a temperature.</summary>
        public void Hold(double at, double seconds)
        {
            for (var until = Now + seconds; Now + RowSeconds <= until + 1e-9;)
            {
                Row(at);
            }
        }

        /// <summary>Time passes without a reading.</summary>
        public void Silence(double seconds) => Now += seconds;

        /// <summary>The block goes to a temperature, 1 °C/s.</summary>
        public void Drive(double to)
        {
            while (Math.Abs(to - celsius) > RowSeconds)
            {
                Row(celsius + (Math.Sign(to - celsius) * RowSeconds));
            }
        }

        private void Row(double at)
        {
            Now = Math.Round(Now + RowSeconds, 6);
            celsius = at;
            Take(RunInput.Temperature(Now, at + (0.02 * Math.Sin(rows++ * 2.4))));
            State = between(State);
        }
    }
}
