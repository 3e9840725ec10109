using Acquire.Core;
using Acquire.Core.Readings;
using Acquire.Service.Configuration;
using Acquire.Service.Sources;
using Acquire.Service.Sources.Modbus;
using CsCheck;
using Xunit;

namespace Acquire.Service.Tests.Sources.Modbus;

public sealed class RegisterValueTests
{
    [Theory]
    [InlineData(RegisterType.Int16, "FF 38", -200)]
    [InlineData(RegisterType.UInt16, "FF 38", 65336)]
    [InlineData(RegisterType.Int32, "FF FF FF 38", -200)]
    [InlineData(RegisterType.UInt32, "00 01 00 02", 65538)]
    [InlineData(RegisterType.Int64, "FF FF FF FF FF FF FF 38", -200)]
    [InlineData(RegisterType.UInt64, "00 00 00 01 00 00 00 00", 4294967296)]
    [InlineData(RegisterType.Float32, "43 5C 80 00", 220.5)] // IEEE 754: 0x435C8000 is 220.5
    [InlineData(RegisterType.Float64, "40 6B 90 00 00 00 00 00", 220.5)]
    public void Type_says_what_the_bytes_are(RegisterType type, string bytes, double value) =>
        Assert.Equal(value, RegisterValue.Read(ModbusSamples.Bytes(bytes), Of(type)));

    [Theory]
    [InlineData(false, false, "43 5C 80 00")]
    [InlineData(true, false, "80 00 43 5C")]
    [InlineData(false, true, "5C 43 00 80")]
    [InlineData(true, true, "00 80 5C 43")]
    public void Words_and_bytes_come_in_four_orders(bool lowWordFirst, bool lowByteFirst, string bytes) =>
        Assert.Equal(220.5, RegisterValue.Read(ModbusSamples.Bytes(bytes), Of(RegisterType.Float32) with { LowWordFirst = lowWordFirst, LowByteFirst = lowByteFirst }));

    [Fact]
    public void Scaled_value_is_the_one_that_text_would_give()
    {
        Assert.Equal(215.3, RegisterValue.Read([0x08, 0x69], Of(RegisterType.Int16) with { Scale = 0.1 }));
        Assert.Equal(-40 + (2153 * 0.025), RegisterValue.Read([0x08, 0x69], Of(RegisterType.Int16) with { Scale = 0.025, Offset = -40 }), 9);
        Assert.Equal(21530, RegisterValue.Read([0x08, 0x69], Of(RegisterType.Int16) with { Scale = 10 }));
    }

    [Fact]
    public void Every_tenth_of_a_degree_is_the_nearest_double() => Gen.Short.Sample(raw =>
        RegisterValue.Read([(byte)((raw >> 8) & 0xFF), (byte)(raw & 0xFF)], Of(RegisterType.Int16) with { Scale = 0.1 }) == (double)(raw / 10m));

    [Theory]
    [InlineData(null, "00 00", false)]
    [InlineData(null, "00 01", true)]
    [InlineData(null, "00 02", null)]
    [InlineData(0, "00 02", false)]
    [InlineData(1, "00 02", true)]
    [InlineData(15, "80 00", true)]
    public void Yes_or_no_is_a_register_or_a_bit_of_it(int? bit, string bytes, bool? yes) =>
        Assert.Equal(yes, RegisterValue.ReadYesOrNo(ModbusSamples.Bytes(bytes), Of(RegisterType.UInt16) with { Bit = bit }));

    [Fact]
    public void Not_a_number_is_left_out_and_told_and_the_others_count()
    {
        var (row, refused) = Decode("08 69 7F C0 00 00");

        Assert.Equal(RowChannels.Temperature, row?.Present);
        Assert.Equal("unit 1, holding register 1 (detector): given NaN; allowed: a finite number", Assert.Single(refused));
    }

    [Theory]
    [InlineData("7F 80 00 00", "Infinity")]
    [InlineData("FF 80 00 00", "-Infinity")]
    [InlineData("7F FF FF FF", "NaN")]
    [InlineData("FF 7F FF FF", "-3.4028234663852886E+38")]
    [InlineData("44 BB 90 00", "1500.5")]
    public void Temperature_that_cannot_be_is_no_row(string bytes, string given)
    {
        var (row, refused) = Decode(bytes, """{ "channel": "temperature", "unit": "degC", "address": 0, "type": "float32" }""");

        Assert.Null(row);
        Assert.Equal($"unit 1, holding register 0 (temperature): given {given} °C; allowed: -273.15 to 1500 °C", Assert.Single(refused));
    }

    [Fact]
    public void Any_double_comes_back_from_any_order() => Gen.Select(Gen.Double, Gen.Bool, Gen.Bool).Sample((value, words, order) =>
    {
        // Written the other way round: whole value first, then its words, then their bytes.
        var bytes = BitConverter.GetBytes(value);
        var high = bytes.Reverse().Chunk(2).ToArray();
        var sent = (words ? high.Reverse() : high).SelectMany(word => order ? word.Reverse() : word).ToArray();
        return RegisterValue.Read(sent, Of(RegisterType.Float64) with { LowWordFirst = words, LowByteFirst = order }).Equals(value);
    });

    private static (ReadingRow? Row, List<string> Refused) Decode(string bytes, string registers = ModbusSamples.Plain)
    {
        var refused = new List<string>();
        var draft = default(RowDraft);
        var poll = Assert.Single(PollPlan.Make(ModbusSamples.Tcp(registers: registers)));
        AnswerDecoder.Decode(poll, ModbusSamples.Bytes(bytes), ref draft, (InputError error) => refused.Add(error.ToString()));
        return (draft.HasValue ? draft.ToRow(1) : null, refused);
    }

    private static RegisterConfig Of(RegisterType type) => new(ReadingChannel.Temperature, ReadingUnit.Celsius, 1, RegisterTable.Holding, 0, type);
}
