using System.Text;
using Acquire.Service.Configuration;
using Acquire.Service.Sources.Serial;
using CsCheck;
using Xunit;

namespace Acquire.Service.Tests.Sources.Serial;

public sealed class LineChecksumTests
{
    // The CRCs are the check values of the "Catalogue of parametrised CRC algorithms" for the nine digits (CRC-16/MODBUS, ARC, IBM-3740, XMODEM, KERMIT);
    // the sum of 0x31 to 0x39 is 0x1DD; their exclusive or is 0x31.
    [Theory]
    [InlineData(ChecksumKind.Xor, 0x31)]
    [InlineData(ChecksumKind.Sum, 0xDD)]
    [InlineData(ChecksumKind.SumComplement, 0x23)]
    [InlineData(ChecksumKind.Crc16Modbus, 0x4B37)]
    [InlineData(ChecksumKind.Crc16Arc, 0xBB3D)]
    [InlineData(ChecksumKind.Crc16CcittFalse, 0x29B1)]
    [InlineData(ChecksumKind.Crc16Xmodem, 0x31C3)]
    [InlineData(ChecksumKind.Crc16Kermit, 0x2189)]
    public void Checksums_have_their_published_check_values(ChecksumKind kind, int value)
    {
        Assert.Equal(value, LineChecksum.Compute(kind, "123456789"u8));
        Assert.Equal(0, LineChecksum.Compute(kind, []) & (kind is ChecksumKind.Crc16Modbus or ChecksumKind.Crc16CcittFalse ? 0 : -1));
    }

    [Theory]
    [InlineData("\"kind\": \"xor\", \"mark\": \"*\", \"skip\": 1", "$123456789*31", "123456789")]
    [InlineData("\"kind\": \"sum-256\"", "123456789dd", "123456789")]
    [InlineData("\"kind\": \"sum-256\", \"mark\": \",\", \"digits\": \"decimal\"", "123456789,221", "123456789")]
    [InlineData("\"kind\": \"sum-256\", \"digits\": \"decimal\"", "123456789221", "123456789")]
    [InlineData("\"kind\": \"sum-256\", \"mark\": \";\", \"coversMark\": true", "12345678;DF", "12345678")]
    [InlineData("\"kind\": \"crc16-modbus\"", "1234567894B37", "123456789")]
    [InlineData("\"kind\": \"crc16-modbus\", \"byteOrder\": \"low-first\"", "123456789374B", "123456789")]
    [InlineData("\"kind\": \"crc16-xmodem\", \"mark\": \"#\", \"digits\": \"decimal\"", "123456789#12739", "123456789")]
    public void Right_checksum_is_taken_off(string config, string line, string left)
    {
        var rest = (ReadOnlySpan<byte>)Encoding.ASCII.GetBytes(line);

        Assert.Null(Checksum(config).Take(ref rest));
        Assert.Equal(left, Encoding.ASCII.GetString(rest));
    }

    [Theory]
    [InlineData("\"kind\": \"xor\", \"mark\": \"*\"", "12.5,1*00", "checksum 00 where the line gives")]
    [InlineData("\"kind\": \"xor\", \"mark\": \"*\"", "12.5,1", "no \"*\" before a checksum")]
    [InlineData("\"kind\": \"xor\", \"mark\": \"*\"", "12.5,1*0", "allowed: 2 hexadecimal digits")]
    [InlineData("\"kind\": \"xor\", \"mark\": \"*\"", "12.5,1*0G", "allowed: 2 hexadecimal digits")]
    [InlineData("\"kind\": \"xor\", \"mark\": \"*\", \"digits\": \"decimal\"", "12.5,1*256", "allowed: up to 3 decimal digits")]
    [InlineData("\"kind\": \"xor\", \"mark\": \"*\", \"skip\": 3", "$*00", "no \"*\" before a checksum")]
    [InlineData("\"kind\": \"crc16-arc\"", "abc", "3 characters; allowed: at least 4, the last 4 the checksum")]
    [InlineData("\"kind\": \"crc16-modbus\", \"byteOrder\": \"low-first\"", "1234567894B37", "checksum 4B37 where the line gives 374B")]
    public void Wrong_checksum_says_what_it_is_and_what_is_allowed(string config, string line, string told)
    {
        var rest = (ReadOnlySpan<byte>)Encoding.ASCII.GetBytes(line);

        Assert.Contains(told, Checksum(config).Take(ref rest), StringComparison.Ordinal);
    }

    [Fact]
    public void Every_single_damaged_byte_is_noticed_by_every_kind_and_any_bytes_never_throw()
    {
        const string Kinds = "xor sum-256 sum-256-complement crc16-modbus crc16-arc crc16-ccitt-false crc16-xmodem crc16-kermit";
        var damaged = Gen.Select(SourceSamples.OneOf(Kinds.Split(' ')), Gen.Int[0, 8], Gen.Byte[1, 255]);
        damaged.Sample((word, place, change) =>
        {
            var config = SourceSamples.Serial("/dev/none", $"\"checksum\": {{ \"kind\": \"{word}\" }}").Checksum!;
            var digits = LineChecksum.Compute(config.Kind, "123456789"u8).ToString(config.Width == 1 ? "X2" : "X4", null);
            var line = Encoding.ASCII.GetBytes("123456789" + digits);
            var right = (ReadOnlySpan<byte>)line;
            Assert.Null(new LineChecksum(config).Take(ref right));
            line[place] ^= change;
            var wrong = (ReadOnlySpan<byte>)line;
            return new LineChecksum(config).Take(ref wrong) is not null;
        });
        Gen.Select(Gen.Byte.Array[0, 40], Gen.Bool, Gen.Int[0, 16]).Sample((line, mark, skip) =>
        {
            var rest = (ReadOnlySpan<byte>)line;
            new LineChecksum(new(ChecksumKind.Crc16Arc, skip, mark ? (byte)'*' : null, mark, mark, !mark)).Take(ref rest);
            return rest.Length <= line.Length;
        });
    }

    private static LineChecksum Checksum(string config) => new(SourceSamples.Serial("/dev/none", $"\"checksum\": {{ {config} }}").Checksum!);
}
