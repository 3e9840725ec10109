namespace Acquire.Core.Thermometry;

/// <summary>Temperatures below -200 °C of types E, K, N and T, for which no inverse polynomial is published.</summary>
/// <remarks>Newton's rule inside a bracket: near -270 °C the emf hardly changes with temperature, and an unguarded step could leave the range. Slower than elsewhere, and rarely wanted.</remarks>
internal static class ColdStretch
{
    // Halving alone needs 47 steps from 70 °C to the spacing of doubles there; Newton's rule takes about 6.
    private const int MostSteps = 60;

    /// <summary>Temperature between two ends, °C, at which the function has the emf, which must lie between its values there.</summary>
    public static double Celsius(ForwardPiece forward, double emfMillivolts, double lowestCelsius, double highestCelsius)
    {
        var celsius = (lowestCelsius + highestCelsius) / 2;
        for (var step = 0; step < MostSteps; step++)
        {
            forward.Expand(celsius, out var value, out var slope, out _);
            if (value > emfMillivolts)
            {
                highestCelsius = celsius;
            }
            else
            {
                lowestCelsius = celsius;
            }

            var next = celsius - ((value - emfMillivolts) / slope);
            if (!(next >= lowestCelsius && next <= highestCelsius))
            {
                next = (lowestCelsius + highestCelsius) / 2;
            }

            var move = Math.Abs(next - celsius);
            celsius = next;
            if (move < 1e-10)
            {
                break;
            }
        }

        return celsius;
    }
}
