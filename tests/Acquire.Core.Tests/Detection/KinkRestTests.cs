using Acquire.Benchmarks.Campaigns;
using Acquire.Core.Detection;
using Xunit;

namespace Acquire.Core.Tests.Detection;

/// <summary>What is not looked through is held against a test that looks through all places with each point.</summary>
public sealed class KinkRestTests
{
    private const int FirstSeed = 9_500_000;

    public static TheoryData<string> Kinds => [.. Scenes.Keys];

    private static readonly Dictionary<string, RampScene> Scenes = new()
    {
        ["at the band's end"] = new() { From = 5.8, To = 6.2, TurnSeconds = 100 },
        ["sudden"] = new() { From = 5.5, To = 7, TurnSeconds = 100 },
        ["slight"] = new() { From = 5.5, To = 6.3, TurnSeconds = 100 },
        ["downwards"] = new() { From = 5.2, To = 4.4, TurnSeconds = 100 },
        ["far too fast"] = new() { From = 5.5, To = 14, TurnSeconds = 100 },
        ["humps"] = new() { HumpCelsius = 0.5, From = 5.5, To = 9, TurnSeconds = 100 },
        ["wild readings"] = new() { WildShare = 0.01, From = 5.5, To = 7, TurnSeconds = 100 },
        ["lost readings"] = new() { LossShare = 0.02, Uneven = true, From = 5.5, To = 7, TurnSeconds = 100 },
        ["noise with a memory"] = new() { SlowNoise = 0.1, From = 5.5, To = 8, TurnSeconds = 100 },
        ["fine"] = new() { Noise = 0.01, Step = 0.01, PerSecond = 50, From = 5.8, To = 6.4, TurnSeconds = 100 },
    };

    [Theory]
    [MemberData(nameof(Kinds))]
    public void Nothing_is_told_otherwise_for_the_places_not_being_looked_through_with_each_point(string kind)
    {
        var told = 0;
        for (var seed = 0; seed < 12; seed++)
        {
            var ramp = new RampEstimator();
            var (rests, looks) = (new KinkTest(), new KinkTest());
            var since = 0;
            Scenes[kind].Run(FirstSeed + seed, 200, (t, celsius) =>
            {
                if (ramp.Add(t, celsius))
                {
                    // Another band, of which the same readings are part: nothing that was seen of the one before counts.
                    var every = looks.Look(ramp, -1e6 - (++since % 2), 5.0 / 60, 6.0 / 60, warmed: false);
                    Assert.Equal(every, rests.Look(ramp, double.NegativeInfinity, 5.0 / 60, 6.0 / 60, warmed: false));
                    told += every is null ? 0 : 1;
                }

                return true;
            });
        }

        Assert.True(told > 0, kind);
    }

    [Fact]
    public void Once_the_ramp_is_known_it_rests_at_most_points_for_less_than_a_second()
    {
        var (ramp, rest) = (new RampEstimator(), new KinkRest());
        var rested = new List<double>();
        var begun = 0.0;
        new RampScene().Run(FirstSeed, 200, (t, celsius) =>
        {
            if (ramp.Add(t, celsius) && t > 100)
            {
                if (rest.Lasts(ramp, 0, 20))
                {
                    rested.Add(t - begun);
                }
                else
                {
                    Begin(rest, ramp);
                    begun = t;
                }
            }

            return true;
        });

        Assert.InRange(rested.Count, 350, 405);
        Assert.True(rested.Max() < 0.98);
    }

    [Fact]
    public void It_does_not_rest_at_a_point_that_follows_one_it_was_not_asked_at()
    {
        var (ramp, rest) = (new RampEstimator(), new KinkRest());
        var (points, rested) = (0, new List<bool>());
        new RampScene().Run(FirstSeed, 102, (t, celsius) =>
        {
            if (ramp.Add(t, celsius) && t > 100)
            {
                points++;
                if (points is 1)
                {
                    Assert.False(rest.Lasts(ramp, 0, 20));
                    Begin(rest, ramp);
                }
                else if (points is not 3)
                {
                    rested.Add(rest.Lasts(ramp, 0, 20));
                }
            }

            return points < 5;
        });

        Assert.Equal([true, false, true], rested);
    }

    // As the test for turns does, had it found nothing.
    private static void Begin(KinkRest rest, RampEstimator ramp)
    {
        var sums = ramp.Sums;
        var all = sums.From(-KinkTest.WindowSeconds, RampWindow.Turn, out _);
        rest.Begin(0, new KinkFit(all, ramp.NewestSeconds - sums.ZeroSeconds), (sums.ZeroSeconds + (all.X / all.Count), sums.Level + (all.Y / all.Count)), 0);
        rest.Learnt(ramp.NewestSeconds);
    }
}
