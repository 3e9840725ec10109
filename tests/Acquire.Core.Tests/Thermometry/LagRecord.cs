using Acquire.Core.Tests.Traces;

namespace Acquire.Core.Tests.Thermometry;

/// <summary>Records of a sensor with a known time constant, computed analytically.</summary>
internal sealed record LagRecord(double[] Seconds, double[] Celsius, double[] ReferenceCelsius)
{
    /// <summary>How a record is taken.</summary>
    /// <param name="RateHertz">Readings a second.</param>
    /// <param name="NoiseCelsius">Standard deviation of each reading, °C.</param>
    /// <param name="StepCelsius">Digitising step, °C; 0 for none.</param>
    /// <param name="ReferenceNoiseCelsius">The same for the reference thermometer, °C.</param>
    /// <param name="Jitter">Irregularity of the times, as a share of their distance: 0 to 0.9.</param>
    public sealed record Taking(double RateHertz, double NoiseCelsius, double StepCelsius = 0, double Jitter = 0, double ReferenceNoiseCelsius = 0);

    /// <summary>A plunge at a time from one temperature into another.</summary>
    public static LagRecord Step(double tau, double at, double from, double into, double length, Taking taking, int seed) =>
        Take(length, taking, seed, t => (t < at ? from : into + ((from - into) * Math.Exp((at - t) / tau)), into));

    /// <summary>A specimen that follows straight lines between corners, the sensor at rest with it at the first one.</summary>
    public static LagRecord Corners(double tau, double offset, (double Seconds, double Celsius)[] corners, Taking taking, int seed) =>
        Take(corners[^1].Seconds, taking, seed, t => Follow(tau, offset, corners, t));

    private static (double Sensor, double Specimen) Follow(double tau, double offset, (double Seconds, double Celsius)[] corners, double t)
    {
        double lag = 0;
        for (var i = 1; ; i++)
        {
            var (from, to) = (corners[i - 1], corners[i]);
            var rate = (to.Celsius - from.Celsius) / (to.Seconds - from.Seconds);
            var last = i == corners.Length - 1 || t <= to.Seconds;
            var since = (last ? t : to.Seconds) - from.Seconds;
            lag = (tau * rate) + ((lag - (tau * rate)) * Math.Exp(-since / tau));
            if (last)
            {
                var specimen = from.Celsius + (rate * since);
                return (specimen - lag + offset, specimen);
            }
        }
    }

    private static LagRecord Take(double length, Taking taking, int seed, Func<double, (double Sensor, double Specimen)> at)
    {
        var noise = new Noise(seed);
        var count = (int)(length * taking.RateHertz);
        double[] seconds = new double[count], celsius = new double[count], reference = new double[count];
        for (var i = 0; i < count; i++)
        {
            seconds[i] = (i + (taking.Jitter * noise.Between(-0.5, 0.5))) / taking.RateHertz;
            var (sensor, specimen) = at(seconds[i]);
            celsius[i] = Digitise(sensor + (taking.NoiseCelsius * noise.Normal()), taking.StepCelsius);
            reference[i] = specimen + (taking.ReferenceNoiseCelsius * noise.Normal());
        }

        return new(seconds, celsius, reference);
    }

    private static double Digitise(double value, double step) => step == 0 ? value : Math.Round(value / step) * step;
}
