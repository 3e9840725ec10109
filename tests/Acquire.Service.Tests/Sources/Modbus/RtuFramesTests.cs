using System.IO.Ports;
using Acquire.Service.Configuration;
using Acquire.Service.Sources.Modbus;
using CsCheck;
using Xunit;

namespace Acquire.Service.Tests.Sources.Modbus;

public sealed class RtuFramesTests
{
    // MODBUS Application Protocol Specification V1.1b3, 6.3: registers 108 to 110 hold 555, 0, 100 (value from memory); unit 17 was put around it here.
    private static readonly ReadRequest ThreeHolding = new(0x11, RegisterTable.Holding, 0x6B, 3);
    private static readonly byte[] ThreeAnswer = ModbusSamples.Bytes("11 03 06 02 2B 00 00 00 64 C8 BA");

    [Fact]
    public void Checksum_has_the_check_value_of_the_catalogue_and_of_the_serial_line_guide()
    {
        // CRC-16/MODBUS in the catalogue of parametrised CRC algorithms: 0x4B37 for the nine digits.
        Assert.Equal(0x4B37, Crc16.Of("123456789"u8));

        // MODBUS over Serial Line V1.02, 6.2.2: unit 2, function 7, checksum 0x1241, sent 41 12 (value from memory).
        Assert.Equal(0x1241, Crc16.Of([0x02, 0x07]));
        Assert.True(Crc16.Fits([0x02, 0x07, 0x41, 0x12]));
        Assert.False(Crc16.Fits([0x02, 0x07, 0x12, 0x41]));
    }

    [Theory]
    [InlineData(RegisterTable.Holding, 0x6B, 3, "11 03 00 6B 00 03 76 87")]
    [InlineData(RegisterTable.Input, 0x08, 1, "11 04 00 08 00 01 B2 98")]
    public void Request_is_written_as_the_specification_prints_it(RegisterTable table, int address, int count, string frame)
    {
        var written = new byte[RtuFrames.RequestBytes];

        RtuFrames.Write(new(0x11, table, address, count), written);

        Assert.Equal(ModbusSamples.Bytes(frame), written);
    }

    [Fact]
    public void Answer_of_the_specification_is_read()
    {
        Assert.Equal([0x02, 0x2B, 0x00, 0x00, 0x00, 0x64], Data(RtuFrames.Find(ThreeAnswer, ThreeHolding)));

        // V1.1b3, 6.4: input register 9 holds 10 (value from memory).
        Assert.Equal([0x00, 0x0A], Data(RtuFrames.Find(ModbusSamples.Bytes("11 04 02 00 0A F8 F4"), new(0x11, RegisterTable.Input, 8, 1))));
    }

    [Fact]
    public void Answer_in_pieces_is_there_with_its_last_byte_and_not_before()
    {
        for (var length = 0; length < ThreeAnswer.Length; length++)
        {
            Assert.Null(RtuFrames.Find(ThreeAnswer.AsSpan(0, length), ThreeHolding));
        }

        Assert.NotNull(RtuFrames.Find(ThreeAnswer, ThreeHolding));
    }

    [Fact]
    public void Answer_after_garbage_is_found_and_the_garbage_counted()
    {
        var found = RtuFrames.Find([0x00, 0x11, 0x03, 0x06, .. ThreeAnswer], ThreeHolding);

        Assert.Equal(4, Assert.IsType<Exchange.Registers>(found).ForeignBytes);
    }

    [Fact]
    public void Echo_of_the_request_is_no_garbage_and_no_answer()
    {
        var echo = new byte[RtuFrames.RequestBytes];
        RtuFrames.Write(ThreeHolding, echo);

        Assert.Null(RtuFrames.Find(echo, ThreeHolding));
        Assert.Null(RtuFrames.Explain(echo, ThreeHolding));
        Assert.Equal(0, Assert.IsType<Exchange.Registers>(RtuFrames.Find([.. echo, .. ThreeAnswer], ThreeHolding)).ForeignBytes);
    }

    [Fact]
    public void Exception_is_read_as_one()
    {
        var found = RtuFrames.Find(ModbusSamples.Bytes("11 83 02 C1 34"), ThreeHolding);

        Assert.Equal(0x02, Assert.IsType<Exchange.Refused>(found).Code);
    }

    [Theory]
    [InlineData("12 03 06 02 2B 00 00 00 64", "unit 18 answered; allowed: the unit that was asked, 17")]
    [InlineData("11 04 06 02 2B 00 00 00 64", "function 0x04; allowed: the one that was asked for, 0x03")]
    [InlineData("11 03 04 02 2B 00 00", "4 bytes of registers, said to be 4; allowed: the 6 that were asked for")]
    public void Answer_to_something_else_is_not_taken_and_explained(string body, string why)
    {
        var frame = ModbusSamples.RtuFrame(ModbusSamples.Bytes(body));

        Assert.Null(RtuFrames.Find(frame, ThreeHolding));
        Assert.Equal(why, RtuFrames.Explain(frame, ThreeHolding));
    }

    [Fact]
    public void Any_one_bit_that_was_turned_over_is_noticed()
    {
        for (var bit = 0; bit < 8 * ThreeAnswer.Length; bit++)
        {
            var damaged = (byte[])ThreeAnswer.Clone();
            damaged[bit / 8] ^= (byte)(1 << (bit % 8));

            Assert.Null(RtuFrames.Find(damaged, ThreeHolding));
            Assert.NotNull(RtuFrames.Explain(damaged, ThreeHolding));
        }
    }

    [Fact]
    public void Silence_between_frames_is_three_and_a_half_characters_and_fixed_above_19200_baud()
    {
        // MODBUS over Serial Line V1.02, 2.5.1.1: 3.5 characters of 11 bits; 1.750 ms above 19,200 baud.
        Assert.Equal(3.5 * 11 / 9600, RtuFrames.SilenceSeconds(Settings(9600)), 9);
        Assert.Equal(0.00175, RtuFrames.SilenceSeconds(Settings(115_200)));
    }

    [Fact]
    public void Any_bytes_are_either_an_answer_to_what_was_asked_or_none() => Gen.Select(Gen.Byte.Array[0, 300], Gen.Int[1, 125]).Sample((bytes, count) =>
    {
        var request = new ReadRequest(0x11, RegisterTable.Input, 0, count);
        var found = RtuFrames.Find(bytes, request);
        RtuFrames.Explain(bytes, request);
        return found switch { null => true, Exchange.Registers registers => registers.Data.Length == 2 * count, _ => found is Exchange.Refused };
    }, iter: 20_000);

    [Fact]
    public void Whatever_an_answer_holds_and_whatever_noise_is_before_it_it_comes_back() => Gen.Select(Gen.Byte.Array[0, 60], Gen.Byte.Array[250]).Sample((noise, data) =>
    {
        var request = new ReadRequest(7, RegisterTable.Holding, 0, 125);
        return Data(RtuFrames.Find([.. noise, .. ModbusSamples.RtuFrame([7, 3, 250, .. data])], request)).AsSpan().SequenceEqual(data);
    }, iter: 5000);

    private static byte[] Data(Exchange? exchange) => Assert.IsType<Exchange.Registers>(exchange).Data.ToArray();

    private static PortSettings Settings(int baud) => new("p", baud, 8, Parity.Even, StopBits.One, Handshake.None);
}
