using Acquire.Core.Control;
using Acquire.Core.Detection;
using Acquire.Core.Methods;
using Acquire.Core.Readings;
using Acquire.Core.Runs;
using Xunit;

namespace Acquire.Core.Tests.Control;

/// <summary>The driver at cups that it knows nothing of, over a wire that loses every tenth command.</summary>
public sealed class DriverCupTests
{
    private sealed class Heating
    {
        private readonly CupDraw _cup;
        private readonly RampEstimator _record = new();
        private readonly List<HeaterFact> _facts = [];
        private readonly Driver _driver;
        private readonly RunPlan _plan;
        private DriveCommand? _taken;
        private double _takenAt, _controlledSince = double.NaN;
        private int _sent;

        public Heating(int seed)
        {
            _cup = new(seed, CupKind.Open, Knowledge.None);
            _plan = new RunPlan
            {
                Method = MethodCatalog.All.First(known => known.Ramp?.ControlledFromBelowExpectedCelsius == 28),
                ExpectedFlashCelsius = _cup.ExpectedCelsius,
                HasFlameSignal = true,
                Mode = RunMode.Driven,
            };
            _driver = Driver.Begin(_plan, new() { HighestCelsius = 450 }, 1, 0);
            Work();
        }

        public List<double> Passes { get; } = [];

        public List<double> Rates { get; } = [];

        public IReadOnlyList<HeaterFact> Facts => _facts;

        public double FirstCelsius => _plan.Rules.FirstApplicationCelsius;

        public double LongestPassSeconds { get; private set; }

        private void Work()
        {
            var over = double.NaN;
            for (var step = 1; _cup.Plant.ShownCelsius < _cup.ExpectedCelsius + 30; step++)
            {
                Assert.True(step < 100_000, "the cup never got there");
                var now = step * CupPlant.StepSeconds;
                var obeyed = _taken is { } taken && !taken.ExpiredAfter(now - _takenAt) ? taken : null;
                _cup.Plant.Step(obeyed?.HeaterFraction ?? 0);
                if (obeyed is { FlameOver: true } && double.IsNaN(over))
                {
                    over = now;
                    Passes.Add(_cup.Plant.ShownCelsius);
                }
                else if (obeyed is not { FlameOver: true } && !double.IsNaN(over))
                {
                    (LongestPassSeconds, over) = (Math.Max(LongestPassSeconds, now - over), double.NaN);
                }

                Take(step % _cup.StepsPerReading == 0 ? _driver.Take(Read(now, obeyed), now, _facts) : _driver.Tick(now, _facts), now);
                if (step == 100)
                {
                    Assert.Null(_driver.TurnOn("the test", now, _facts));
                }
            }
        }

        private ReadingRow Read(double now, DriveCommand? obeyed)
        {
            var celsius = _cup.Read();
            _controlledSince = double.IsNaN(_controlledSince) && celsius >= _cup.Plan.ControlledFromCelsius ? now : _controlledSince;
            if (_record.Add(now, celsius) && !double.IsNaN(_controlledSince) && _record.Fit(RampEstimator.RecordWindowSeconds, _controlledSince) is { } line)
            {
                Rates.Add(line.SlopePerSecond * 60);
            }

            var row = new ReadingRow(now, RowChannels.Temperature | RowChannels.Flame | RowChannels.Heater, celsius, 0, obeyed?.FlameOver ?? false) { HeaterFraction = obeyed?.HeaterFraction ?? 0 };
            return obeyed is null ? row : row with { Present = row.Present | RowChannels.Command, Command = obeyed.Sequence };
        }

        private void Take(DriveCommand? command, double now)
        {
            if (command is not null && ++_sent % 10 != 0)
            {
                Assert.True(command.Follows(_taken));
                (_taken, _takenAt) = (command, now);
            }
        }
    }

    [Theory]
    [InlineData(1)]
    [InlineData(2)]
    [InlineData(3)]
    public void A_cup_is_heated_inside_its_band_with_each_pass_where_it_is_due_and_no_trip(int seed)
    {
        var heating = new Heating(seed);

        Assert.Equal("the test", Assert.IsType<HeaterTurnedOn>(Assert.Single(heating.Facts)).Person);
        Assert.NotEmpty(heating.Rates);

        // 5 to 6 °C/min, and the tolerance by which a finding is made, 0.1.
        Assert.All(heating.Rates, rate => Assert.InRange(rate, 4.9, 6.1));
        Assert.True(heating.Passes.Count > 20);
        Assert.All(heating.Passes.Index(), pass => Assert.Equal(heating.FirstCelsius + (2 * pass.Index), pass.Item, tolerance: 0.35));
        Assert.InRange(heating.LongestPassSeconds, 0.5, 2);
    }
}
