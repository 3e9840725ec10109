using Acquire.Core.Methods;

namespace Acquire.Simulator;

/// <summary>What lies between the liquid and the test flame: the still air over an open cup, or the space under a lid.</summary>
internal sealed record VapourSpace
{
    /// <summary>Stagnant (Stefan) film from the surface through the freeboard to the edge of the boundary layer.</summary>
    /// <remarks>Film and linear profile as in open-cup work (UCRL-89723, 1984). Freeboard 9.5 mm, flame 2 mm above the rim, boundary layer 8 mm above the rim: 1 - 11.5/17.5. Layer thickness assumed (still air).</remarks>
    public static readonly VapourSpace OpenFilm = new()
    {
        IsOpen = true,
        FilmShare = 0.343,

        // L²/(π² D): 16 mm of film, D = 1.2e-5 m²/s at 490 K (assumed)
        StirredLagSeconds = 2.2,
        StillLagSeconds = 2.2,

        // A pass of the flame stirs the film away; it builds up again within seconds.
        KeptByPass = 0.4,
    };

    /// <summary>Quasi-equilibrium under a lid: what the flame meets is what the liquid gives off, somewhat late. The times and what an opening costs are assumed.</summary>
    public static readonly VapourSpace UnderLid = new()
    {
        IsOpen = false,
        FilmShare = 1,

        // 22 mm of gas with a lid above would need 4 L²/(π² D), about 30 s, by diffusion alone; blades of the stirrer turn in it, or warm walls move it.
        StirredLagSeconds = 4,
        StillLagSeconds = 12,

        // The shutter opens for about a second, and some air comes in.
        KeptByPass = 0.85,
    };

    /// <summary>The same in the small cup of a block: some 8 mm of gas, which fill in 4 s by diffusion alone (4 L²/(π² D) with 6e-6 m²/s, assumed).</summary>
    public static readonly VapourSpace UnderLowLid = UnderLid with { StillLagSeconds = 4 };

    public required bool IsOpen { get; init; }

    /// <summary>Which part of the film's resistance lies beyond the flame; 1 where the flame stands in saturated vapour.</summary>
    public required double FilmShare { get; init; }

    /// <summary>First-order lag of the vapour behind the liquid while it is stirred, s.</summary>
    public required double StirredLagSeconds { get; init; }

    /// <summary>The same while nothing stirs, s.</summary>
    public required double StillLagSeconds { get; init; }

    /// <summary>Which share of the vapour is left at the flame after a pass.</summary>
    public required double KeptByPass { get; init; }

    /// <summary>The space over the cup of a method.</summary>
    public static VapourSpace Of(MethodDefinition method) => method.Cup == CupKind.Open ? OpenFilm : method.Heating == HeatingKind.Block ? UnderLowLid : UnderLid;

    /// <summary>Mole fraction of vapour at the flame, from that at the surface.</summary>
    public double AtFlame(double atSurface) => IsOpen ? 1 - Math.Pow(1 - atSurface, FilmShare) : atSurface;

    /// <summary>Vapour at the flame over its limit, in equilibrium.</summary>
    public double Ratio(IVapourSource source, double celsius, double kilopascals)
    {
        var (atSurface, limit) = source.At(celsius, kilopascals);
        return AtFlame(atSurface) / limit;
    }

    /// <summary>Temperature of the surface at which that ratio is reached, °C.</summary>
    public double FlashCelsius(IVapourSource source, double kilopascals, double ratio = 1)
    {
        double low = -60, high = 500;
        for (var halving = 0; halving < 60; halving++)
        {
            var middle = (low + high) / 2;
            (low, high) = Ratio(source, middle, kilopascals) < ratio ? (middle, high) : (low, middle);
        }

        return low;
    }

    /// <summary>The surface from the flame.</summary>
    public double AtSurface(double atFlame) => IsOpen ? 1 - Math.Pow(1 - atFlame, 1 / FilmShare) : atFlame;
}
