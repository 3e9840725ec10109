using Acquire.Service.Configuration;
using Acquire.Service.Sources.Modbus;
using CsCheck;
using Xunit;

namespace Acquire.Service.Tests.Sources.Modbus;

public sealed class PollPlanTests
{
    [Theory]
    [InlineData(8, "1 Holding 10+11")]
    [InlineData(7, "1 Holding 10+2, 1 Holding 20+1")]
    [InlineData(0, "1 Holding 10+2, 1 Holding 20+1")]
    public void Neighbours_are_read_together_up_to_the_largest_gap(int gap, string plan) =>
        Assert.Equal(plan, Plan(gap, Of(20), Of(10, RegisterType.Float32)));

    [Fact]
    public void Units_and_tables_are_asked_apart() =>
        Assert.Equal("1 Holding 5+1, 1 Input 5+1, 2 Holding 5+1", Plan(8, Of(5) with { UnitId = 2 }, Of(5) with { Table = RegisterTable.Input }, Of(5)));

    [Fact]
    public void One_register_read_twice_is_asked_once() =>
        Assert.Equal("1 Holding 5+1", Plan(8, Of(5) with { Bit = 0 }, Of(5) with { Bit = 1 }));

    [Fact]
    public void No_request_is_longer_than_the_specification_allows()
    {
        Assert.Equal("1 Holding 0+125", Plan(123, Of(0), Of(123, RegisterType.Float32)));
        Assert.Equal("1 Holding 0+1, 1 Holding 124+2", Plan(123, Of(0), Of(124, RegisterType.Float32)));
    }

    [Fact]
    public void Any_registers_are_all_read_each_once_in_requests_that_are_allowed() =>
        Gen.Select(Gen.Select(Gen.Int[0, 400], Gen.Int[0, 7], Gen.Int[1, 2]).Array[1, 64], Gen.Int[0, 123]).Sample((drawn, gap) =>
        {
            var values = drawn.Select(value => Of(value.Item1, (RegisterType)value.Item2) with { UnitId = (byte)value.Item3 }).ToArray();
            var polls = PollPlan.Make(ModbusSamples.Tcp() with { Registers = values, LargestGap = gap });
            return polls.Sum(poll => poll.Values.Count) == values.Length
                && polls.All(poll => poll.Request.Count is >= 1 and <= ReadRequest.MostRegisters
                    && poll.Values.All(value => value.UnitId == poll.Request.UnitId && value.Address >= poll.Request.Address
                        && value.Address + value.Registers <= poll.Request.Address + poll.Request.Count));
        });

    private static string Plan(int gap, params RegisterConfig[] values) => string.Join(", ", PollPlan.Make(ModbusSamples.Tcp() with { Registers = values, LargestGap = gap })
        .Select(poll => $"{poll.Request.UnitId} {poll.Request.Table} {poll.Request.Address}+{poll.Request.Count}"));

    private static RegisterConfig Of(int address, RegisterType type = RegisterType.Int16) => new(ReadingChannel.Detector, ReadingUnit.None, 1, RegisterTable.Holding, address, type);
}
