using Acquire.Core.Methods;
using Acquire.Core.Runs;
using CsCheck;
using Xunit;

namespace Acquire.Core.Tests.Runs;

public sealed class EquilibriumSearchTests
{
    // ASTM D3828, 12.1.2 to 12.1.6: 5 °C, 1 °C, optionally 0.5 °C. ISO 3679, clause 1: -30 to 300 °C.
    private static readonly double[] Whole = [5, 1], Half = [5, 1, 0.5];
    private static readonly TemperatureRange Scope = new(-30, 300);

    // From one end to the other in steps of 5 °C, then four of 1 °C at most, and one of 0.5 °C.
    private const int MostPortions = (330 / 5) + 1 + 5 + 1;

    private static (SearchStep Last, List<(double Celsius, bool Flashed)> Tests) Search(double[] steps, double start, Func<double, bool> flashes)
    {
        var tests = new List<(double Celsius, bool Flashed)>();
        for (; ; )
        {
            var next = EquilibriumSearch.Next(steps, start, Scope, tests);
            if (next.Wish != SearchWish.Test)
            {
                return (next, tests);
            }

            Assert.DoesNotContain(tests, test => Math.Abs(test.Celsius - next.Celsius) < 1e-9);
            Assert.True(Scope.Contains(next.Celsius), $"{next.Celsius} °C");
            tests.Add((next.Celsius, flashes(next.Celsius)));
            Assert.True(tests.Count <= MostPortions, $"{tests.Count} portions from {start} °C");
        }
    }

    [Fact]
    public void It_goes_as_the_text_of_the_method_tells_it()
    {
        // A flash at the expected temperature: 5 °C lower each time until there is none, then 1 °C at a time from the lower one.
        Assert.Equal([65, 60, 61, 62, 63], Search(Whole, 65, celsius => celsius >= 62.3).Tests.Select(test => test.Celsius));
        // None: 5 °C higher each time until there is one. Optionally 0.5 °C below that flash.
        Assert.Equal([55, 60, 65, 61, 62, 63, 62.5], Search(Half, 55, celsius => celsius >= 62.3).Tests.Select(test => test.Celsius));
        Assert.Equal(new SearchStep(SearchWish.Found, 62.5), Search(Half, 55, celsius => celsius >= 62.3).Last);
        Assert.Equal(new SearchStep(SearchWish.Found, 63), Search(Half, 55, celsius => celsius >= 62.7).Last);
    }

    [Fact]
    public void It_brackets_the_truth_for_any_flash_point_and_any_start_within_a_bounded_number_of_portions() =>
        Gen.Select(Gen.Double[-40, 310], Gen.Double[-30, 300], Gen.Bool).Sample((truth, start, half) =>
        {
            var steps = half ? Half : Whole;
            var (last, tests) = Search(steps, start, celsius => celsius >= truth);
            switch (last.Wish)
            {
                case SearchWish.Found:
                    Assert.True(last.Celsius >= truth, $"{last.Celsius} °C is below {truth} °C");
                    Assert.True(last.Celsius - steps[^1] < truth + 1e-6, $"{last.Celsius} °C is more than a step above {truth} °C");
                    Assert.Contains(tests, test => !test.Flashed && last.Celsius - test.Celsius <= steps[^1] + 1e-6);
                    break;
                case SearchWish.Below:
                    Assert.True(truth <= Scope.From);
                    break;
                default:
                    Assert.Equal(SearchWish.Above, last.Wish);
                    Assert.True(truth > Scope.To);
                    break;
            }
        }, iter: 3000);

    [Fact]
    public void It_ends_whatever_the_portions_do() =>
        Gen.Select(Gen.Double[-30, 300], Gen.Bool, Gen.Bool.Array[MostPortions + 1]).Sample((start, half, flashes) =>
        {
            var number = 0;
            var (last, tests) = Search(half ? Half : Whole, start, _ => flashes[number++]);
            Assert.True(last.Wish != SearchWish.Found || tests.Contains((last.Celsius, true)));
        }, iter: 2000);
}
