using Acquire.Core.Control;

namespace Acquire.Core.Tests.Control;

/// <summary>What came of bringing a drawn block to one set temperature.</summary>
/// <param name="SteadySeconds">From setting it until it had stayed within 0.5 °C for 60 s, s; NaN where it never did.</param>
/// <param name="OvershootCelsius">Farthest beyond the set temperature on the side where it arrived, °C, without the noise.</param>
/// <param name="WorstHeldCelsius">Farthest from the set temperature from then on, without the noise, °C.</param>
internal sealed record HeldStep(double SteadySeconds, double OvershootCelsius, double WorstHeldCelsius);

/// <summary>A block under the holding controller, from one set temperature to the next.</summary>
internal sealed class HeldBlock(BlockDraw block)
{
    private const double ToleranceCelsius = 0.5, NeededSeconds = 60;

    private readonly RampState _state = HoldController.Begin(block.Model);
    private double _fraction;
    private long _steps;

    /// <summary>Sets a temperature and holds it for so long after it was steady.</summary>
    public HeldStep To(double set, double holdSeconds, double mostSeconds = 3600)
    {
        var rises = set >= block.ShownCelsius;
        var (within, steady, over, worst) = (0.0, double.NaN, 0.0, 0.0);
        for (var at = BlockDraw.StepSeconds; at < mostSeconds && !(at > steady + holdSeconds); at += BlockDraw.StepSeconds)
        {
            Step(set);
            var off = block.ShownCelsius - set;
            over = Math.Max(over, rises ? off : double.IsNaN(steady) ? 0 : -off);
            within = Math.Abs(off) <= ToleranceCelsius ? within + BlockDraw.StepSeconds : 0;
            steady = double.IsNaN(steady) && within >= NeededSeconds ? at : steady;
            worst = double.IsNaN(steady) ? 0 : Math.Max(worst, Math.Abs(off));
        }

        return new(steady, over, worst);
    }

    /// <summary>A cold portion is charged into a block that keeps a temperature: what the portion takes from the block, and the farthest below and above the temperature in the four minutes after, °C.</summary>
    public (double Dip, double Below, double Above) Charged(double set, double joules)
    {
        var (below, above) = (0.0, 0.0);
        var dip = block.Charge(joules);
        HoldController.Charged(_state);
        for (var at = BlockDraw.StepSeconds; at < 240; at += BlockDraw.StepSeconds)
        {
            Step(set);
            below = Math.Max(below, set - block.ShownCelsius);
            above = Math.Max(above, block.ShownCelsius - set);
        }

        return (dip, below, above);
    }

    private void Step(double set)
    {
        _steps++;
        block.Step(_fraction);
        if (_steps % block.StepsPerReading == 0)
        {
            _fraction = HoldController.Take(_state, set, block.Model, _steps * BlockDraw.StepSeconds, block.Read(), true);
        }
    }
}
