using System.Globalization;
using System.Diagnostics.CodeAnalysis;
using System.Text.Json.Serialization;
using Acquire.Core;

namespace Acquire.Simulator;

/// <summary>What a simulated test portion is made of: one known liquid, or several by mole fractions. Its flash point is not told; it follows.</summary>
[JsonConverter(typeof(SpecimenConverter))]
public sealed record Specimen
{
    /// <summary>Most liquids in one specimen.</summary>
    public const int MostParts = 10;

    private Specimen(IReadOnlyList<SpecimenPart> parts) => Parts = parts;

    /// <summary>Its liquids; the fractions add up to 1.</summary>
    public IReadOnlyList<SpecimenPart> Parts { get; }

    /// <summary>As it is given: n-decane, or n-decane:0.9,n-octane:0.1.</summary>
    public string Words => Parts is [{ MoleFraction: 1 } only] ? only.Liquid.Name : string.Join(',', Parts.Select(part => string.Create(CultureInfo.InvariantCulture, $"{part.Liquid.Name}:{part.MoleFraction}")));

    /// <summary>A pure liquid.</summary>
    /// <exception cref="ArgumentException">It does not burn.</exception>
    public static Specimen Pure(Liquid liquid)
    {
        ArgumentNullException.ThrowIfNull(liquid);
        return liquid.Limit is null ? throw new ArgumentException($"{liquid.Name} does not burn", nameof(liquid)) : new([new(liquid, 1)]);
    }

    /// <summary>Reads a name, or names with mole fractions.</summary>
    /// <param name="text">Such as n-decane or n-decane:0.9,n-octane:0.1.</param>
    /// <param name="path">What to call it in an error.</param>
    /// <param name="specimen">What was read.</param>
    /// <param name="error">What is wrong.</param>
    public static bool TryParse(string text, string path, [NotNullWhen(true)] out Specimen? specimen, [NotNullWhen(false)] out InputError? error)
    {
        ArgumentNullException.ThrowIfNull(text);
        var parts = new List<SpecimenPart>();
        var words = text.Split(',', StringSplitOptions.TrimEntries);
        foreach (var word in words)
        {
            if (Mistake(word, words.Length > 1, out var part) is { } mistake)
            {
                (specimen, error) = (null, new(path, mistake));
                return false;
            }

            parts.Add(part);
        }

        error = Mistake(parts) is { } wrong ? new(path, wrong) : null;
        specimen = error is null ? new(parts) : null;
        return error is null;
    }

    /// <inheritdoc/>
    public bool Equals(Specimen? other) => other is not null && Parts.SequenceEqual(other.Parts);

    /// <inheritdoc/>
    public override int GetHashCode() => Words.GetHashCode(StringComparison.Ordinal);

    /// <inheritdoc/>
    public override string ToString() => Words;

    private static string? Mistake(string word, bool isMixed, out SpecimenPart part)
    {
        part = null!;
        var colon = word.IndexOf(':', StringComparison.Ordinal);
        var name = colon < 0 ? word : word[..colon].TrimEnd();
        if (!Liquids.TryFind(name, out var liquid))
        {
            return $"'{name}' is no liquid that the simulator knows; there are {Liquids.AllNames}";
        }

        if (colon < 0)
        {
            part = new(liquid, 1);
            return isMixed ? $"'{name}' has no mole fraction; in a mixture give each, such as n-decane:0.9,n-octane:0.1" : null;
        }

        var number = word[(colon + 1)..];
        if (!double.TryParse(number, NumberStyles.Float, CultureInfo.InvariantCulture, out var fraction) || !(fraction is > 0 and <= 1))
        {
            return $"'{number.Trim()}' is no mole fraction of {name}: a number above 0 and up to 1, with a decimal point";
        }

        part = new(liquid, fraction);
        return null;
    }

    private static string? Mistake(List<SpecimenPart> parts)
    {
        var sum = parts.Sum(part => part.MoleFraction);
        var twice = parts.GroupBy(part => part.Liquid.Name).FirstOrDefault(group => group.Count() > 1)?.Key;
        return parts.Count > MostParts ? $"{parts.Count} liquids are more than {MostParts}"
            : twice is not null ? $"{twice} is given twice"
            : Math.Abs(sum - 1) > 1e-6 ? string.Create(CultureInfo.InvariantCulture, $"the mole fractions add up to {sum:0.######}, not to 1")
            : parts.All(part => part.Liquid.Limit is null) ? "water alone does not burn"
            : Stranger(parts);
    }

    private static string? Stranger(List<SpecimenPart> parts)
    {
        foreach (var one in parts)
        {
            foreach (var other in parts)
            {
                if (!NrtlPairs.IsIdeal(one.Liquid, other.Liquid) && NrtlPairs.Find(one.Liquid.Name, other.Liquid.Name) is null)
                {
                    return $"how {one.Liquid.Name} and {other.Liquid.Name} mix is not known here; liquids of one kind mix ideally, and of unlike ones there are {NrtlPairs.AllWords}";
                }
            }
        }

        return null;
    }
}

/// <summary>One liquid of a specimen.</summary>
/// <param name="Liquid">The liquid.</param>
/// <param name="MoleFraction">Its mole fraction, above 0 and up to 1.</param>
public sealed record SpecimenPart(Liquid Liquid, double MoleFraction);
