using System.Globalization;
using Acquire.Core;
using Acquire.Service.Configuration;
using Acquire.Service.Configuration.Parsing;

namespace Acquire.Service.Sources.Modbus;

/// <summary>Makes a row of the registers of one answer. No IO, no state. A value that cannot be is left out and told; the others count.</summary>
public static class AnswerDecoder
{
    /// <summary>Takes every value of an answer into a row.</summary>
    /// <param name="poll">What was asked.</param>
    /// <param name="data">The registers as sent, two bytes each.</param>
    /// <param name="draft">The row.</param>
    /// <param name="refuse">Told each value that was left out: where it was, what it held, what is allowed.</param>
    public static void Decode(PlannedPoll poll, ReadOnlySpan<byte> data, ref RowDraft draft, Action<InputError> refuse)
    {
        ArgumentNullException.ThrowIfNull(poll);
        ArgumentNullException.ThrowIfNull(refuse);
        foreach (var value in poll.Values)
        {
            var registers = data.Slice(2 * (value.Address - poll.Request.Address), 2 * value.Registers);
            if (Take(value, registers, ref draft) is { } mistake)
            {
                refuse(new(Place(value), mistake));
            }
        }
    }

    private static string? Take(RegisterConfig value, ReadOnlySpan<byte> registers, ref RowDraft draft)
    {
        if (!value.Channel.IsYesOrNo())
        {
            return draft.Take(value.Channel, value.Unit, RegisterValue.Read(registers, value));
        }

        if (RegisterValue.ReadYesOrNo(registers, value) is not { } yes)
        {
            return string.Create(CultureInfo.InvariantCulture, $"given 0x{Convert.ToHexString(registers)}; allowed: 0 or 1, or a key \"bit\" that says which bit counts");
        }

        draft.Take(value.Channel, yes);
        return null;
    }

    private static string Place(RegisterConfig value) => string.Create(
        CultureInfo.InvariantCulture,
        $"unit {value.UnitId}, {(value.Table == RegisterTable.Holding ? "holding" : "input")} register {value.Address} ({ChannelReader.Word(value.Channel)})");
}
