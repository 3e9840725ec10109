namespace Acquire.Core.Tests.Traces;

/// <summary>What glows after an onset, in deviations of one reading, by seconds since it.</summary>
/// <param name="Name">What happens.</param>
/// <param name="IsFire">Whether it is a fire point.</param>
/// <param name="Glow">Draws one.</param>
internal sealed record GlowScene(string Name, bool IsFire, Func<Noise, Func<double, double>> Glow)
{
    public static IReadOnlyList<GlowScene> All { get; } =
    [
        new("a flash of 40 and no more", false, _ => Flash(40)),
        new("burns for 4.5 s at 60", false, draw => Burn(draw, 60, 4.5)),
        new("burns for 5.3 s at 60", true, draw => Burn(draw, 60, 5.3)),
        new("flash of 40, burns for 4.5 s at 8", false, draw => Plus(Flash(40), Burn(draw, 8, 4.5))),
        new("flash of 40, burns for 5.3 s at 8", true, draw => Plus(Flash(40), Burn(draw, 8, 5.3))),
        new("flash of 40, burns for 7 s at 5", true, draw => Plus(Flash(40), Burn(draw, 5, 7))),
        new("dark for 0.5 s of every 1.5 s, 8 s long", true, draw => Dark(Burn(draw, 60, 8), t => t % 1.5 > 1)),
        new("laid flat by a draught from 1.0 to 1.5 s, 7 s long", true, draw => Dark(Burn(draw, 60, 7), t => t is > 1 and < 1.5)),
        new("saturates, 7 s long", true, draw => Burn(draw, 300, 7) is var burn ? t => Math.Min(100, burn(t)) : throw new InvalidOperationException()),
        new("grows from 20 to 80 in 4 s, 7 s long", true, draw => Burn(draw, 20, 7) is var burn ? t => burn(t) * (1 + (3 * Math.Min(1, t / 4))) : throw new InvalidOperationException()),
        new("slow detector (0.3 s), burns for 7 s", true, draw => Slow(Burn(draw, 60, 7), 0.3)),
        new("slow detector (0.3 s), burns for 4.5 s", false, draw => Slow(Burn(draw, 60, 4.5), 0.3)),
        new("flash of 80, then warms up by 20 within 1.5 s", false, _ => Plus(Flash(80), t => 20 * (1 - Math.Exp(-t / 1.5)))),
        new("flash of 80, then warms up by 32 within 1 s", false, _ => Plus(Flash(80), t => 32 * (1 - Math.Exp(-t)))),
        new("flash of 80, then drifts by 6 per second", false, _ => Plus(Flash(80), t => 6 * Math.Min(t, 8))),
        new("tail of 48 that fades in 1 s", false, _ => Plus(Flash(80), t => 48 * Math.Exp(-t))),
        new("tail of 48 that fades in 3 s", false, _ => Plus(Flash(80), t => 48 * Math.Exp(-t / 3))),
    ];

    private static Func<double, double> Flash(double height) => t => t < 0.02 ? height * t / 0.02 : t < 0.1 ? height : height * Math.Exp(-(t - 0.1) / 0.05);

    // A pool flame of a cup's size flickers at 1 to 6 Hz by about a quarter.
    private static Func<double, double> Burn(Noise draw, double height, double seconds)
    {
        var (slow, fast, a, b) = (draw.Between(1, 3), draw.Between(3, 6), draw.Between(0, 6.28), draw.Between(0, 6.28));
        return t => t < 0 || t > seconds ? 0 : Math.Min(1, t / 0.03) * height * (1 + (0.2 * Math.Sin((6.28 * slow * t) + a)) + (0.15 * Math.Sin((6.28 * fast * t) + b)));
    }

    private static Func<double, double> Dark(Func<double, double> glow, Func<double, bool> dark) => t => dark(t) ? 0 : glow(t);

    private static Func<double, double> Plus(Func<double, double> one, Func<double, double> other) => t => one(t) + other(t);

    private static Func<double, double> Slow(Func<double, double> glow, double seconds)
    {
        double level = 0, last = 0;
        return t =>
        {
            for (; last < t; last += 0.002)
            {
                level += (glow(last) - level) * 0.002 / seconds;
            }

            return level;
        };
    }
}
