namespace Acquire.Service.Sources.Modbus;

/// <summary>What became of one request.</summary>
public abstract record Exchange
{
    private Exchange()
    {
    }

    /// <summary>Bytes that came before the answer, or while nothing was asked, and belong to nothing.</summary>
    public int ForeignBytes { get; init; }

    /// <summary>The registers that were asked for.</summary>
    /// <param name="Data">As sent, two bytes each.</param>
    public sealed record Registers(ReadOnlyMemory<byte> Data) : Exchange;

    /// <summary>The unit answered that it will not.</summary>
    /// <param name="Code">Exception code.</param>
    public sealed record Refused(byte Code) : Exchange;

    /// <summary>Something came, but not the answer.</summary>
    /// <param name="What">What came, in words.</param>
    public sealed record Nonsense(string What) : Exchange;

    /// <summary>Nothing came in time.</summary>
    public sealed record Silence : Exchange;
}
