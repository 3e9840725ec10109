namespace Acquire.Core.Thermometry;

/// <summary>What the steps of a converter or a display add to the uncertainty of something found from its readings.</summary>
/// <remarks>
/// Where noise does not carry readings over several steps, all readings of a quiet stretch share one error, anywhere within half
/// a step. Their scatter does not show it, because there is none. A stretch is taken as long as readings keep to two
/// neighbouring steps. Noise undoes the sharing: of the mean error of readings with normal noise of standard deviation s
/// and steps of q, exp(−2π²s²/q²) is left (first harmonic; Widrow and Kollár, Quantization Noise, 2008: value from memory).
/// </remarks>
internal static class Digitisation
{
    // Differences below this are rounding of the arithmetic, not steps.
    private const double LeastStepCelsius = 1e-9;

    // Of the differences between neighbours that are not 0, one as large as this share is taken for the step: not the very
    // smallest, since readings from a curve have steps of slightly different size.
    private const double StepQuantile = 0.05;

    /// <summary>Step of the readings, °C: the smallest change that is usual; 0 where nothing changes.</summary>
    public static double StepCelsius(ReadOnlySpan<double> celsius)
    {
        var changes = new List<double>(celsius.Length);
        for (var i = 1; i < celsius.Length; i++)
        {
            var change = Math.Abs(celsius[i] - celsius[i - 1]);
            if (change > LeastStepCelsius)
            {
                changes.Add(change);
            }
        }

        changes.Sort();
        return changes.Count == 0 ? 0 : changes[(int)(StepQuantile * changes.Count)];
    }

    /// <summary>Standard uncertainty of a result that answers to each reading by a known factor.</summary>
    /// <param name="celsius">The readings, °C.</param>
    /// <param name="pull">By how much the result changes with each, per °C.</param>
    /// <param name="noiseCelsius">Noise of single readings, steps included, °C.</param>
    public static double Uncertainty(ReadOnlySpan<double> celsius, ReadOnlySpan<double> pull, double noiseCelsius)
    {
        var step = StepCelsius(celsius);
        if (step == 0)
        {
            return 0;
        }

        double squares = 0, together = 0, least = celsius[0], most = celsius[0];
        for (var i = 0; i < celsius.Length; i++)
        {
            least = Math.Min(least, celsius[i]);
            most = Math.Max(most, celsius[i]);
            if (most - least > 1.01 * step)
            {
                squares += together * together;
                together = 0;
                least = most = celsius[i];
            }

            together += pull[i];
        }

        // An error anywhere within half a step has the variance step²/12; what the noise has beyond that is the thermometer's.
        var steps = noiseCelsius / step;
        var left = Math.Exp(-2 * Math.PI * Math.PI * Math.Max(0, (steps * steps) - (1.0 / 12)));
        return left * step * Math.Sqrt((squares + (together * together)) / 12);
    }
}
