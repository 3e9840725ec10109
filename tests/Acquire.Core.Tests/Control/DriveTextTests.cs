using System.Text;
using Acquire.Core.Control;
using CsCheck;
using Xunit;

namespace Acquire.Core.Tests.Control;

public sealed class DriveTextTests
{
    private static readonly Gen<DriveCommand> AnyCommand = Gen.Select(Gen.Long[0, long.MaxValue], Gen.Int[300, 10_000], Gen.Int[0, 10_000], Gen.Bool, Gen.Bool)
        .Select(drawn => new DriveCommand(drawn.Item1, drawn.Item2, drawn.Item3 / 10_000.0, drawn.Item4, drawn.Item5));

    // Checksums: zlib.crc32 of Python 3, the CRC-32 of IEEE 802.3.
    [Theory]
    [InlineData(1_790_000_000_000, 1500, 0.375, false, true, "D,1790000000000,1500,0.3750,0,1,749F2190\n")]
    [InlineData(0, 300, 0.0, true, false, "D,0,300,0.0000,1,0,635C1163\n")]
    [InlineData(long.MaxValue, 10_000, 1.0, true, true, "D,9223372036854775807,10000,1.0000,1,1,DD918E94\n")]
    public void A_line_is_written_to_the_letter_and_reads_back(long sequence, int lifetime, double heater, bool flame, bool stirrer, string line)
    {
        var command = new DriveCommand(sequence, lifetime, heater, flame, stirrer);

        Assert.Equal(line, DriveText.ToLine(command));
        Assert.True(DriveText.TryParseLine(Encoding.ASCII.GetBytes(line), out var read, out _));
        Assert.Equal(command, read);
        Assert.True(line.Length <= DriveText.LongestLineBytes);
    }

    [Fact]
    public void A_payload_is_written_to_the_letter_and_reads_back()
    {
        var command = new DriveCommand(1, 1500, 0.375, false, true);

        Assert.Equal("""{"sequence":1,"lifetimeMilliseconds":1500,"heater":0.375,"flame":0,"stirrer":1}""", DriveText.ToJson(command));
        Assert.True(DriveText.TryParseJson(Encoding.UTF8.GetBytes(DriveText.ToJson(command)), out var read, out _));
        Assert.Equal(command, read);
    }

    [Fact]
    public void Every_command_reads_back_from_both_texts() => AnyCommand.Sample(command =>
    {
        Assert.True(DriveText.TryParseLine(Encoding.ASCII.GetBytes(DriveText.ToLine(command)), out var line, out _));
        Assert.True(DriveText.TryParseJson(Encoding.UTF8.GetBytes(DriveText.ToJson(command)), out var json, out _));
        Assert.Equal(command, line);
        Assert.Equal(command, json);
    });

    [Fact]
    public void Any_single_changed_byte_makes_a_line_no_command() => Gen.Select(AnyCommand, Gen.Int[0, 79], Gen.Byte).Sample(drawn =>
    {
        var (command, at, value) = drawn;
        var bytes = Encoding.ASCII.GetBytes(DriveText.ToLine(command).TrimEnd('\n'));
        at %= bytes.Length;
        var changed = bytes[at] != value && !(at == bytes.Length - 1 && value is (byte)'\n' or (byte)'\r');
        bytes[at] = value;
        if (changed)
        {
            Assert.False(DriveText.TryParseLine(bytes, out _, out var error));
            Assert.NotEmpty(error.Message);
        }
    });

    // The checksums are right (zlib.crc32 of Python 3), so that the field itself is what is refused.
    [Theory]
    [InlineData("D,-1,1500,0.5000,0,0,E464ADBD", "sequence")]
    [InlineData("D, 1,1500,0.5,0,0,D3AD8251", "sequence")]
    [InlineData("D,9223372036854775808,1500,0.5,0,0,066BF2A0", "sequence")]
    [InlineData("D,1,299,0.5000,0,0,032535AE", "lifetime")]
    [InlineData("D,1,1500,1.0001,0,0,5D91C9A2", "heater")]
    [InlineData("D,1,1500,1e-1,0,0,D1B55CB9", "heater")]
    [InlineData("D,1,1500,,0,0,5ED61B22", "heater")]
    [InlineData("D,1,1500,0.5000,2,0,C4575126", "flame")]
    [InlineData("D,1,1500,0.5,0,x,AF17080C", "stirrer")]
    [InlineData("D,1790000000000,1500,0.3750,0,1,749f2190", "checksum")]
    [InlineData("D,1790000000000,1500,0.3750,0,1,749F2191", "checksum")]
    [InlineData("D,1790000000000,1500,0.3750,0,1", "line")]
    [InlineData("D,1790000000000,1500,0.3750,0,1,749F2190,", "line")]
    [InlineData("T,1790000000000,1500,0.3750,0,1,749F2190", "line")]
    [InlineData("", "line")]
    public void A_line_that_is_no_command_is_refused_by_its_field(string line, string field)
    {
        Assert.False(DriveText.TryParseLine(Encoding.ASCII.GetBytes(line), out _, out var error));
        Assert.Equal(field, error.Path);
    }

    [Theory]
    [InlineData("""{"sequence":-1,"lifetimeMilliseconds":1500,"heater":0.375,"flame":0,"stirrer":1}""", "sequence")]
    [InlineData("""{"sequence":1.5,"lifetimeMilliseconds":1500,"heater":0.375,"flame":0,"stirrer":1}""", "sequence")]
    [InlineData("""{"sequence":1,"lifetimeMilliseconds":10001,"heater":0.375,"flame":0,"stirrer":1}""", "lifetimeMilliseconds")]
    [InlineData("""{"sequence":1,"lifetimeMilliseconds":1500,"heater":1.01,"flame":0,"stirrer":1}""", "heater")]
    [InlineData("""{"sequence":1,"lifetimeMilliseconds":1500,"heater":"0.3","flame":0,"stirrer":1}""", "heater")]
    [InlineData("""{"sequence":1,"lifetimeMilliseconds":1500,"heater":0.3,"flame":true,"stirrer":1}""", "flame")]
    [InlineData("""{"sequence":1,"lifetimeMilliseconds":1500,"heater":0.3,"flame":0,"stirrer":2}""", "stirrer")]
    [InlineData("""{"sequence":1,"lifetimeMilliseconds":1500,"heater":0.3,"flame":0}""", "$")]
    [InlineData("null", "$")]
    [InlineData("", "$")]
    public void A_payload_that_is_no_command_is_refused_by_its_field(string json, string field)
    {
        Assert.False(DriveText.TryParseJson(Encoding.UTF8.GetBytes(json), out _, out var error));
        Assert.Equal(field, error.Path);
    }

    [Fact]
    public void A_payload_with_a_field_twice_or_one_too_many_is_no_command()
    {
        Assert.False(DriveText.TryParseJson("""{"sequence":1,"lifetimeMilliseconds":1500,"heater":0,"heater":1,"flame":0,"stirrer":1}"""u8, out _, out _));
        Assert.False(DriveText.TryParseJson("""{"sequence":1,"lifetimeMilliseconds":1500,"heater":0,"flame":0,"stirrer":1,"fan":1}"""u8, out _, out _));
    }

    [Fact]
    public void Whatever_the_bytes_are_reading_never_throws() => Gen.Byte.Array[0, 120].Sample(bytes =>
    {
        Assert.True(DriveText.TryParseLine(bytes, out var line, out var error) == error is null && line is null == error is not null);
        Assert.True(DriveText.TryParseJson(bytes, out var json, out error) == error is null && json is null == error is not null);
    });

    [Theory]
    [InlineData(-1, 1500, 0.5)]
    [InlineData(1, 299, 0.5)]
    [InlineData(1, 10_001, 0.5)]
    [InlineData(1, 1500, 1.0001)]
    [InlineData(1, 1500, -0.1)]
    [InlineData(1, 1500, double.NaN)]
    public void A_command_outside_its_ranges_is_never_written(long sequence, int lifetime, double heater)
    {
        var command = new DriveCommand(sequence, lifetime, heater, false, false);

        Assert.Throws<ArgumentOutOfRangeException>(() => DriveText.ToLine(command));
        Assert.Throws<ArgumentOutOfRangeException>(() => DriveText.ToJson(command));
    }
}
