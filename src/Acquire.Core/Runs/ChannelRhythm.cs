namespace Acquire.Core.Runs;

/// <summary>Whether a channel that used to come with every row has fallen silent. Part of a run's snapshot.</summary>
/// <remarks>A tester that tells only changes never comes with every row, and may be silent for as long as nothing changes.</remarks>
internal sealed class ChannelRhythm
{
    // So many rows one after the other that carried it: then it comes with every row.
    private const int EveryRow = 20;

    /// <summary>Rows without it for longer than this are silence, s: common practice, no source.</summary>
    public const double SilentSeconds = 5;

    /// <summary>Rows with it, one after the other, up to <see cref="EveryRow"/>.</summary>
    public int Together { get; set; }

    /// <summary>When it came last, s.</summary>
    public double ReadAt { get; set; } = double.NegativeInfinity;

    /// <summary>Whether it is silent now.</summary>
    public bool Silent { get; set; }

    /// <summary>When it came last before it first fell silent while the specimen was heated, s; null where it never did.</summary>
    public double? SilentFrom { get; set; }

    /// <summary>Specimen temperature when that was noticed, °C.</summary>
    public double? SilentCelsius { get; set; }

    /// <summary>A row that carries other channels too.</summary>
    /// <returns>Whether the channel has just fallen silent.</returns>
    public bool Row(double seconds, bool carries)
    {
        if (carries)
        {
            (Together, ReadAt, Silent) = (Math.Min(EveryRow, Together + 1), Math.Max(ReadAt, seconds), false);
            return false;
        }

        if (Together < EveryRow)
        {
            Together = 0;
            return false;
        }

        var falls = !Silent && seconds - ReadAt > SilentSeconds;
        Silent |= falls;
        return falls;
    }
}
