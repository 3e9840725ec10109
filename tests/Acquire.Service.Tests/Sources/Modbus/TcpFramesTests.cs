using Acquire.Service.Configuration;
using Acquire.Service.Sources.Modbus;
using CsCheck;
using Xunit;

namespace Acquire.Service.Tests.Sources.Modbus;

public sealed class TcpFramesTests
{
    private static readonly ReadRequest Fifth = new(0xFF, RegisterTable.Holding, 4, 1);

    [Fact]
    public void Request_is_written_as_the_guide_prints_it()
    {
        // MODBUS Messaging on TCP/IP V1.0b, 4.4.2: transaction 0x1501, register 5 of unit 0xFF (value from memory).
        var written = new byte[TcpFrames.RequestBytes];

        TcpFrames.Write(0x1501, Fifth, written);

        Assert.Equal(ModbusSamples.Bytes("15 01 00 00 00 06 FF 03 00 04 00 01"), written);
    }

    [Fact]
    public void Answer_is_read_with_its_transaction_and_a_partial_one_is_waited_for()
    {
        var bytes = ModbusSamples.Bytes("15 01 00 00 00 05 FF 03 02 00 05 15 02");

        var frame = TcpFrames.Look(bytes);

        Assert.Equal(new TcpFrame(TcpFrameKind.Whole, 11, 0x1501, 0xFF), frame);
        Assert.Equal([0x00, 0x05], Assert.IsType<Exchange.Registers>(TcpFrames.Read(bytes.AsSpan(0, 11), Fifth)).Data.ToArray());
        for (var length = 0; length < 11; length++)
        {
            Assert.Equal(TcpFrameKind.Partial, TcpFrames.Look(bytes.AsSpan(0, length)).Kind);
        }
    }

    [Theory]
    [InlineData("15 01 00 01 00 05 FF 03 02 00 05")]
    [InlineData("15 01 00 00 00 01 FF")]
    [InlineData("15 01 00 00 00 FF FF")]
    [InlineData("48 54 54 50 2F 31 2E 31")]
    public void What_cannot_be_a_header_is_broken(string bytes) => Assert.Equal(TcpFrameKind.Broken, TcpFrames.Look(ModbusSamples.Bytes(bytes)).Kind);

    [Fact]
    public void Answer_of_another_unit_is_not_taken()
    {
        var answer = TcpFrames.Read(ModbusSamples.Bytes("00 01 00 00 00 05 02 03 02 00 05"), Fifth);

        Assert.Equal("unit 2 answered; allowed: the unit that was asked, 255", Assert.IsType<Exchange.Nonsense>(answer).What);
    }

    [Theory]
    [InlineData(0x01, "exception 01 ILLEGAL FUNCTION")]
    [InlineData(0x02, "exception 02 ILLEGAL DATA ADDRESS")]
    [InlineData(0x03, "exception 03 ILLEGAL DATA VALUE")]
    [InlineData(0x04, "exception 04 SERVER DEVICE FAILURE")]
    [InlineData(0x05, "exception 05 ACKNOWLEDGE")]
    [InlineData(0x06, "exception 06 SERVER DEVICE BUSY")]
    [InlineData(0x08, "exception 08 MEMORY PARITY ERROR")]
    [InlineData(0x0A, "exception 0A GATEWAY PATH UNAVAILABLE")]
    [InlineData(0x0B, "exception 0B GATEWAY TARGET DEVICE FAILED TO RESPOND")]
    [InlineData(0x7F, "exception 7F (not in the specification)")]
    public void Exception_has_its_name_in_the_specification(byte code, string name)
    {
        // MODBUS Application Protocol Specification V1.1b3, section 7.
        var refused = Assert.IsType<Exchange.Refused>(TcpFrames.Read([0, 1, 0, 0, 0, 3, 0xFF, 0x83, code], Fifth));

        Assert.Equal(name, ExceptionNames.Of(refused.Code));
    }

    [Fact]
    public void Any_bytes_are_looked_at_without_leaving_them() => Gen.Select(Gen.Byte.Array[0, 300], Gen.Int[1, 125]).Sample((bytes, count) =>
    {
        var frame = TcpFrames.Look(bytes);
        if (frame.Kind == TcpFrameKind.Whole)
        {
            TcpFrames.Read(bytes.AsSpan(0, frame.Length), new(1, RegisterTable.Input, 0, count));
        }

        return frame.Length <= bytes.Length && (frame.Kind == TcpFrameKind.Whole) == (frame.Length > 0);
    }, iter: 20_000);
}
