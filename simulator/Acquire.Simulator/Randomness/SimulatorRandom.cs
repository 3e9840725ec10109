namespace Acquire.Simulator;

/// <summary>Pseudo-random numbers that a seed fixes for ever: xoshiro256** seeded by splitmix64 (Blackman and Vigna, 2018; public domain).</summary>
/// <remarks>
/// System.Random is not used: its documentation reserves the right to change the sequence of a seed between versions of .NET,
/// and a seed written beside a trace must give that trace again years later.
/// </remarks>
internal sealed class SimulatorRandom
{
    private readonly ulong[] words = new ulong[4];
    private double spareGaussian = double.NaN;

    /// <summary>One of several independent sequences of a seed, so that more numbers drawn for one purpose change nothing for another.</summary>
    public SimulatorRandom(ulong seed, RandomPurpose purpose)
    {
        unchecked
        {
            var mixer = seed + ((ulong)purpose * 0xD1342543DE82EF95UL);
            for (var index = 0; index < words.Length; index++)
            {
                mixer += 0x9E3779B97F4A7C15UL;
                var z = (mixer ^ (mixer >> 30)) * 0xBF58476D1CE4E5B9UL;
                z = (z ^ (z >> 27)) * 0x94D049BB133111EBUL;
                words[index] = z ^ (z >> 31);
            }
        }
    }

    /// <summary>64 random bits.</summary>
    public ulong NextBits()
    {
        unchecked
        {
            var result = ulong.RotateLeft(words[1] * 5, 7) * 9;
            var shifted = words[1] << 17;
            words[2] ^= words[0];
            words[3] ^= words[1];
            words[1] ^= words[2];
            words[0] ^= words[3];
            words[2] ^= shifted;
            words[3] = ulong.RotateLeft(words[3], 45);
            return result;
        }
    }

    /// <summary>Uniform in [0, 1).</summary>
    public double NextUnit() => (NextBits() >> 11) * (1.0 / (1UL << 53));

    /// <summary>Uniform in [from, to).</summary>
    public double Between(double from, double to) => from + ((to - from) * NextUnit());

    /// <summary>Normal with mean 0 and standard deviation 1 (Marsaglia's polar method).</summary>
    public double NextGaussian()
    {
        if (!double.IsNaN(spareGaussian))
        {
            var spare = spareGaussian;
            spareGaussian = double.NaN;
            return spare;
        }

        double u, v, s;
        do
        {
            u = (2 * NextUnit()) - 1;
            v = (2 * NextUnit()) - 1;
            s = (u * u) + (v * v);
        }
        while (s is >= 1 or 0);

        var factor = Math.Sqrt(-2 * Math.Log(s) / s);
        spareGaussian = v * factor;
        return u * factor;
    }

    /// <summary>How long it is until the next of things that happen so often in a second, each whenever it likes, s.</summary>
    public double Wait(double perSecond) => -Math.Log(1 - NextUnit()) / perSecond;

    /// <summary>1 with a normal scatter of the given relative standard deviation, cut at three of them.</summary>
    public double Scatter(double relative) => 1 + (relative * Math.Clamp(NextGaussian(), -3, 3));
}

/// <summary>What a sequence of random numbers is for.</summary>
internal enum RandomPurpose
{
    /// <summary>The tester's own thermometer for its controller, and how well the controller knows its plant.</summary>
    Heating = 1,

    /// <summary>Test flame, halo, flash, fire.</summary>
    Ignition = 2,

    /// <summary>Noise of the thermometer on the wire.</summary>
    Thermometer = 3,

    /// <summary>Noise of the detector on the wire.</summary>
    Detector = 4,

    /// <summary>Jitter of the timestamps.</summary>
    Clock = 5,

    /// <summary>What differs from one round of a demonstration to the next.</summary>
    Rounds = 6,

    /// <summary>Noise of the converter that a thermometer's signal passes.</summary>
    Signal = 7,

    /// <summary>Temperature of a thermocouple's reference junction.</summary>
    Junction = 8,

    /// <summary>What a faulty thermometer does.</summary>
    ThermometerFaults = 9,

    /// <summary>Noise of the sensors beside the cup.</summary>
    Bench = 10,

    /// <summary>What a driven tester is made of.</summary>
    Plant = 11,

    /// <summary>What a faulty driven tester does.</summary>
    TesterFaults = 12,

    /// <summary>What the detector of a driven tester sees of flame, halo and flash.</summary>
    Pulses = 13,

    /// <summary>How fast the person at a cup is that is worked by hand.</summary>
    Analyst = 20,

    /// <summary>Noise of a second detector.</summary>
    SecondDetector = 30,

    /// <summary>How a thermal detector sees each pass.</summary>
    ThermalView = 31,

    /// <summary>How an ionisation detector sees each pass, and its share of the halo.</summary>
    IonisationView = 32,

    /// <summary>Disturbing hum and wandering in the wires of the first detector.</summary>
    Wires = 40,

    /// <summary>The same for the second detector.</summary>
    SecondWires = 41,

    /// <summary>Wild readings of the first detector.</summary>
    Spikes = 42,

    /// <summary>The same for the second detector.</summary>
    SecondSpikes = 43,

    /// <summary>Gusts of a draught.</summary>
    Gusts = 44,

    /// <summary>How high the second of two flashes is.</summary>
    SecondFlashes = 45,

    /// <summary>Breaking foam.</summary>
    Foam = 46,

    /// <summary>Drops of water under hot oil.</summary>
    Water = 47,

    /// <summary>Flicker of a specimen that ignited by itself.</summary>
    SelfIgnition = 48,

    /// <summary>Which messages are lost, doubled or exchanged.</summary>
    Messages = 49,
}
