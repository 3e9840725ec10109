using System.Diagnostics.CodeAnalysis;
using System.Globalization;
using System.Text.Json.Serialization;
using Acquire.Core;

namespace Acquire.Simulator;

/// <summary>One disturbance of a simulated run. All can be combined.</summary>
/// <param name="Kind">What happens.</param>
/// <param name="Strength">How much, in the unit and range that <see cref="DisturbanceFacts"/> gives; null for the usual strength.</param>
/// <param name="StartSeconds">When it begins, s on the rows' own axis, 0 to 86,400; null for what is usual for the kind, mostly the start of the record.</param>
/// <param name="LengthSeconds">How long it lasts, s, 0.001 to 86,400; null for the rest of the record.</param>
public sealed record Disturbance(DisturbanceKind Kind, double? Strength = null, double? StartSeconds = null, double? LengthSeconds = null)
{
    /// <summary>How a disturbance is written.</summary>
    public const string Form = "KIND[:STRENGTH[:START[:LENGTH]]]";

    // Well into the heating of most runs.
    private const double SuddenSeconds = 600;

    /// <summary>What there is to know about the kind.</summary>
    [JsonIgnore]
    public DisturbanceFacts Facts => DisturbanceFacts.Of(Kind);

    /// <summary>The strength that applies.</summary>
    [JsonIgnore]
    public double StrengthOrUsual => Strength ?? Facts.Usual;

    /// <summary>The first moment, s.</summary>
    internal double From => StartSeconds ?? (Kind is DisturbanceKind.SensorBreak or DisturbanceKind.ClockJump ? SuddenSeconds : 0);

    /// <summary>The end, s; positive infinity for the rest of the record.</summary>
    internal double To => LengthSeconds is { } length ? From + length : double.PositiveInfinity;

    /// <summary>Whether it is there at a moment, s.</summary>
    internal bool IsAt(double seconds) => seconds >= From && seconds < To;

    /// <summary>Reads KIND[:STRENGTH[:START[:LENGTH]]], such as `hum`, `spikes:0.2` or `draught::600:90`: an empty part is as one left out.</summary>
    /// <param name="text">The text.</param>
    /// <param name="path">What the text is called in the error.</param>
    /// <param name="disturbance">The disturbance; ranges are for <see cref="SimulatorOptions.Check"/>.</param>
    /// <param name="error">What is wrong with the text.</param>
    public static bool TryParse(string? text, string path, [NotNullWhen(true)] out Disturbance? disturbance, [NotNullWhen(false)] out InputError? error)
    {
        (disturbance, error) = (null, null);
        var parts = (text ?? "").Split(':');
        var facts = DisturbanceFacts.All.FirstOrDefault(known => known.Word == parts[0]);
        if (facts is null)
        {
            error = new(path, $"'{parts[0]}' is no disturbance; there are {DisturbanceFacts.AllWords}");
        }
        else if (parts.Length > 4)
        {
            error = new(path, $"'{text}' is not {Form}, such as draught:2:600:90");
        }
        else if (Number(parts, 1, out var strength) && Number(parts, 2, out var start) && Number(parts, 3, out var length))
        {
            disturbance = new(facts.Kind, strength, start, length);
        }
        else
        {
            error = new(path, $"strength, start and length in '{text}' are not all numbers with a decimal point, such as draught:2.5:600:90");
        }

        return disturbance is not null;
    }

    private static bool Number(string[] parts, int index, out double? number)
    {
        number = null;
        if (index >= parts.Length || parts[index].Length == 0)
        {
            return true;
        }

        var good = double.TryParse(parts[index], NumberStyles.AllowDecimalPoint | NumberStyles.AllowLeadingSign, CultureInfo.InvariantCulture, out var value) && double.IsFinite(value);
        number = value;
        return good;
    }
}
