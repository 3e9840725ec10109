namespace Acquire.Core.Tests.Traces;

/// <summary>Repeatable random numbers for traces and estimates.</summary>
internal sealed class Noise(int seed)
{
    private readonly Random random = new(seed);

    /// <summary>Uniform between two values.</summary>
    public double Between(double from, double to) => from + ((to - from) * random.NextDouble());

    /// <summary>Standard normal, by Box and Muller.</summary>
    public double Normal() => Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(2 * Math.PI * random.NextDouble());
}
