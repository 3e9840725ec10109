namespace Acquire.Core.Control;

/// <summary>Why the heater is off until a person turns it on again.</summary>
/// <param name="Code">Stable code, see <see cref="TripCodes"/>.</param>
/// <param name="AtSeconds">When, on the run's axis, s.</param>
/// <param name="Text">What happened, its limit, what to do, and the caution.</param>
public sealed record HeaterTrip(string Code, double AtSeconds, string Text)
{
    /// <summary>Said with every trip: this program must never be what keeps a laboratory from burning.</summary>
    public const string Caution =
        "Do not rely on this: a program is no safety device. Look at the tester itself, turn its main switch off where in doubt, and never heat without an independent over-temperature cut-out.";

    /// <summary>What happened, without the caution: for the record.</summary>
    public string Sentence => Text.EndsWith(Caution, StringComparison.Ordinal) ? Text[..^Caution.Length].TrimEnd() : Text;

    internal static HeaterTrip Of(string code, double seconds, string sentence) => new(code, seconds, $"{sentence} {Caution}");
}
