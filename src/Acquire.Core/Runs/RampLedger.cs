using Acquire.Core.Detection;

namespace Acquire.Core.Runs;

/// <summary>What is known about the heating so far: where the bands began and how long they were left.</summary>
internal sealed class RampLedger
{
    /// <summary>When fast heating began, s.</summary>
    public double? FastSince { get; set; }

    /// <summary>When heat was to be eased, s.</summary>
    public double? EasedSince { get; set; }

    /// <summary>When the controlled band began to hold, s.</summary>
    public double? ControlledSince { get; set; }

    /// <summary>Watches the band for the early warning.</summary>
    public BandWatch Watch { get; set; } = new();

    /// <summary>Time above a band.</summary>
    public Excursion Fast { get; set; } = new();

    /// <summary>Time below a band.</summary>
    public Excursion Slow { get; set; } = new();
}

/// <summary>Time spent on one side of a band.</summary>
internal sealed class Excursion
{
    /// <summary>Whether the rate is outside now.</summary>
    public bool Open { get; set; }

    /// <summary>When this excursion began, s.</summary>
    public double Since { get; set; }

    /// <summary>Seconds outside in all, s.</summary>
    public double Seconds { get; set; }

    /// <summary>Newest judged point, s.</summary>
    public double LastSeconds { get; set; }

    /// <summary>The rate farthest outside, °C/min.</summary>
    public double Worst { get; set; }

    /// <summary>Temperature there, °C.</summary>
    public double WorstCelsius { get; set; }

    /// <summary>Place of the finding that made the run invalid, among the findings; null before it did.</summary>
    public int? CondemnedAt { get; set; }

    /// <summary>The rate farthest outside in that stretch and later ones, up to the flash, °C/min.</summary>
    public double CondemnedWorst { get; set; }
}
