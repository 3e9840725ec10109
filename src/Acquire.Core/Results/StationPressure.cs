using System.Buffers;
using System.Globalization;
using Acquire.Core.Runs;

namespace Acquire.Core.Results;

/// <summary>Takes a barometer reading as a person or a file gives it: a number and a word for its unit.</summary>
public static class StationPressure
{
    // A barometer shows six digits at most; what is longer is no reading.
    private const int LongestText = 40;

    private static readonly SearchValues<char> NumberCharacters = SearchValues.Create("+-.0123456789");

    /// <summary>Reads text such as `97.3 kPa` or `730 mmHg`.</summary>
    /// <param name="path">Field, for the error.</param>
    /// <param name="text">Number with a decimal point, then one of <see cref="PressureUnits.AllWords"/>.</param>
    /// <param name="kilopascals">Absolute station pressure, kPa, within <see cref="RunPlan.StationPressureRangeKilopascals"/>; 0 on failure.</param>
    /// <param name="error">What is wrong; null on success.</param>
    public static bool TryParse(string path, string? text, out double kilopascals, out InputError? error)
    {
        kilopascals = 0;
        var given = text.AsSpan().Trim();
        if (given.IsEmpty || given.Length > LongestText)
        {
            error = new(path, $"has {given.Length} characters where a pressure with its unit is expected, such as 97.3 kPa");
            return false;
        }

        var letters = given.IndexOfAnyExcept(NumberCharacters);
        var number = letters < 0 ? given : given[..letters];
        if (!double.TryParse(number, NumberStyles.AllowDecimalPoint | NumberStyles.AllowLeadingSign, CultureInfo.InvariantCulture, out var value)
            || (letters >= 0 && given[letters] == ','))
        {
            error = new(path, $"does not begin with a number such as 97.3, with a decimal point; its unit follows: {PressureUnits.AllWords}");
            return false;
        }

        if (letters < 0)
        {
            error = new(path, $"has no unit; write one of {PressureUnits.AllWords} after {Show(value)}");
            return false;
        }

        return TryConvert(path, value, given[letters..].TrimStart(), out kilopascals, out error);
    }

    /// <summary>Converts a number and the word for its unit.</summary>
    /// <param name="path">Field, for the error.</param>
    /// <param name="value">The reading in its unit.</param>
    /// <param name="unitWord">One of <see cref="PressureUnits.AllWords"/>.</param>
    /// <param name="kilopascals">Absolute station pressure, kPa, within <see cref="RunPlan.StationPressureRangeKilopascals"/>; 0 on failure.</param>
    /// <param name="error">What is wrong, with the range in the unit given; null on success.</param>
    public static bool TryConvert(string path, double value, ReadOnlySpan<char> unitWord, out double kilopascals, out InputError? error)
    {
        kilopascals = 0;
        if (!PressureUnits.TryParse(unitWord, out var unit))
        {
            error = new(path, $"has a unit that is none of {PressureUnits.AllWords}");
            return false;
        }

        var converted = PressureUnits.ToKilopascals(value, unit);
        var range = RunPlan.StationPressureRangeKilopascals;
        if (!range.Contains(converted))
        {
            var word = PressureUnits.Word(unit);
            error = new(path, $"{Show(value)} {word} is not within {ShowInward(range.From, unit, 1)} to {ShowInward(range.To, unit, -1)} {word}; check the unit, and give the absolute pressure at the bench, not one reduced to sea level");
            return false;
        }

        (kilopascals, error) = (converted, null);
        return true;
    }

    // Rounded into the range: what a message allows is allowed. The little subtracted keeps an exact end where it is.
    private static string ShowInward(double kilopascals, PressureUnit unit, int inward)
    {
        var tenths = PressureUnits.FromKilopascals(kilopascals, unit) * 10;
        return Show((inward > 0 ? Math.Ceiling(tenths - 1e-6) : Math.Floor(tenths + 1e-6)) / 10);
    }

    private static string Show(double value) => value.ToString("0.###", CultureInfo.InvariantCulture);
}
