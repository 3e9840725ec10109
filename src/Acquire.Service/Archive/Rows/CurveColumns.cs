namespace Acquire.Service.Archive.Rows;

/// <summary>What a curve needs of a chunk, in columns. One chunk at a time; the memory is used again.</summary>
internal sealed class CurveColumns
{
    /// <summary>Columns of numbers.</summary>
    public const int Numbers = 4;

    /// <summary>The column of times, s on the run's axis.</summary>
    public const int Time = 0;

    /// <summary>The column of temperatures, °C.</summary>
    public const int Temperature = 1;

    /// <summary>The column of the detector.</summary>
    public const int Detector = 2;

    /// <summary>The column of the second detector.</summary>
    public const int Second = 3;

    /// <summary>Bit of a row whose temperature is there and sound.</summary>
    public const int HasTemperature = 1;

    /// <summary>Bit of a row with a detector.</summary>
    public const int HasDetector = 2;

    /// <summary>Bit of a row that says where the flame is.</summary>
    public const int HasFlame = 4;

    /// <summary>Bit of a row whose flame is over the cup.</summary>
    public const int FlameOver = 8;

    /// <summary>Bit of a row with a second detector.</summary>
    public const int HasSecond = 16;

    private double[] _numbers = [];
    private byte[] _present = [];

    /// <summary>Rows of the chunk.</summary>
    public int Count { get; private set; }

    /// <summary>The bits of each row.</summary>
    public Span<byte> Present => _present.AsSpan(0, Count);

    /// <summary>A column of numbers.</summary>
    public Span<double> Column(int column) => _numbers.AsSpan(column * Count, Count);

    /// <summary>Makes room for a chunk.</summary>
    public void Begin(int count)
    {
        Count = count;
        if (_present.Length < count)
        {
            (_numbers, _present) = (new double[Numbers * count], new byte[count]);
        }
    }
}
