using System.Globalization;
using Acquire.Core.Runs;

namespace Acquire.Simulator;

/// <summary>A key that the person at a cup that is worked by hand pressed.</summary>
/// <param name="TimeSeconds">When, s on the rows' own axis.</param>
/// <param name="Entry">Its word: a <see cref="Sighting"/>, or <see cref="PersonEntryWords.TakenBack"/>.</param>
public sealed record SimulatedKey(double TimeSeconds, string Entry)
{
    /// <summary>First line of a file of keys, as <see cref="PersonEntryReader"/> takes it.</summary>
    public const string Header = "time_s,entry";

    /// <summary>The key as a line of it.</summary>
    public string Line => string.Create(CultureInfo.InvariantCulture, $"{TimeSeconds},{Entry}");
}
