using System.Buffers;
using System.IO.Compression;
using Acquire.Service.Archive.Rows;

namespace Acquire.Service.Live;

/// <summary>Points of a curve as one compact piece of memory, exact to the last bit, and back. It never leaves the process.</summary>
/// <remarks>Layout before Brotli: what a point has, a byte each; then per column its kind and its values (<see cref="NumberColumn"/>).</remarks>
internal static class CurveBlock
{
    private const int Columns = 6;
    private const byte HasTemperature = 1;
    private const byte HasDetector = 2;
    private const byte HasSecond = 4;
    private const byte FlameOver = 8;

    /// <summary>Packs as many points as a block has.</summary>
    public static byte[] Pack(ReadOnlySpan<CurvePoint> points)
    {
        var length = Length(points.Length);
        var (body, packed) = (ArrayPool<byte>.Shared.Rent(length), ArrayPool<byte>.Shared.Rent(BrotliEncoder.GetMaxCompressedLength(length)));
        try
        {
            Write(points, body.AsSpan(0, length));
            return BrotliEncoder.TryCompress(body.AsSpan(0, length), packed, out var written, quality: 1, window: 16)
                ? packed[..written]
                : throw new InvalidOperationException("A block of points could not be packed.");
        }
        finally
        {
            ArrayPool<byte>.Shared.Return(body);
            ArrayPool<byte>.Shared.Return(packed);
        }
    }

    /// <summary>The points that were packed.</summary>
    public static CurvePoint[] Unpack(ReadOnlySpan<byte> packed)
    {
        const int Points = CurveLog.BlockPoints;
        var length = Length(Points);
        var body = ArrayPool<byte>.Shared.Rent(length);
        try
        {
            return BrotliDecoder.TryDecompress(packed, body.AsSpan(0, length), out var written) && written == length
                ? Read(body.AsSpan(0, length), Points)
                : throw new InvalidOperationException("A block of points could not be unpacked.");
        }
        finally
        {
            ArrayPool<byte>.Shared.Return(body);
        }
    }

    private static int Length(int points) => points + (Columns * (1 + (points * NumberColumn.BytesPerValue)));

    private static void Write(ReadOnlySpan<CurvePoint> points, Span<byte> body)
    {
        for (var i = 0; i < points.Length; i++)
        {
            var point = points[i];
            body[i] = (byte)((point.TemperatureCelsius is null ? 0 : HasTemperature) | (point.DetectorLow is null ? 0 : HasDetector) | (point.SecondDetectorLow is null ? 0 : HasSecond) | (point.Flame ? FlameOver : 0));
        }

        Span<double> values = stackalloc double[points.Length];
        var rest = body[points.Length..];
        for (var column = 0; column < Columns; column++)
        {
            for (var i = 0; i < points.Length; i++)
            {
                values[i] = Value(points[i], column);
            }

            var planes = points.Length * NumberColumn.BytesPerValue;
            rest[0] = NumberColumn.Pack(values, rest.Slice(1, planes));
            rest = rest[(1 + planes)..];
        }
    }

    private static CurvePoint[] Read(ReadOnlySpan<byte> body, int count)
    {
        var values = new double[Columns * count];
        var rest = body[count..];
        for (var column = 0; column < Columns; column++)
        {
            var planes = count * NumberColumn.BytesPerValue;
            NumberColumn.Unpack(rest[0], rest.Slice(1, planes), values.AsSpan(column * count, count));
            rest = rest[(1 + planes)..];
        }

        var points = new CurvePoint[count];
        for (var i = 0; i < count; i++)
        {
            double? Given(byte has, byte flags, int column) => (flags & has) != 0 ? values[(column * count) + i] : null;
            var flags = body[i];
            points[i] = new(values[i], Given(HasTemperature, flags, 1), Given(HasDetector, flags, 2), Given(HasDetector, flags, 3), (flags & FlameOver) != 0)
            {
                SecondDetectorLow = Given(HasSecond, flags, 4),
                SecondDetectorHigh = Given(HasSecond, flags, 5),
            };
        }

        return points;
    }

    // The value before it would pack as well; a zero where there is none is as good, since few points have a column and lack it.
    private static double Value(in CurvePoint point, int column) => column switch
    {
        0 => point.TimeSeconds,
        1 => point.TemperatureCelsius ?? 0,
        2 => point.DetectorLow ?? 0,
        3 => point.DetectorHigh ?? 0,
        4 => point.SecondDetectorLow ?? 0,
        _ => point.SecondDetectorHigh ?? 0,
    };
}
