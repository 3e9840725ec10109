using System.Diagnostics.CodeAnalysis;
using System.Globalization;
using Acquire.Core.Runs;

namespace Acquire.Core.Methods.Advising;

/// <summary>Reads a question from named texts: the options of a command or the parameters of a call.</summary>
public sealed class AdviceQuestionReader
{
    /// <summary>How the text for a flash point that nobody knows reads.</summary>
    public const string Unknown = "unknown";

    /// <summary>Every name, without a prefix.</summary>
    public static IReadOnlyList<string> Names { get; } =
        ["product", "expected-flash", "viscosity", "viscosity-at", "solids", "film-forming", "fire-point", "volatile-contamination", "purpose"];

    private readonly IReadOnlyDictionary<string, string> _given;
    private readonly string _prefix;
    private readonly List<InputError> _errors = [];

    private AdviceQuestionReader(IReadOnlyDictionary<string, string> given, string prefix) => (_given, _prefix) = (given, prefix);

    /// <summary>Reads a question.</summary>
    /// <param name="given">Text by name; a name that is absent was not given.</param>
    /// <param name="prefix">Stands before a name in an error, such as `--`.</param>
    /// <param name="question">The question; null after a mistake.</param>
    /// <param name="errors">Every mistake, with what is allowed.</param>
    public static bool TryRead(IReadOnlyDictionary<string, string> given, string prefix, [NotNullWhen(true)] out AdviceQuestion? question, out IReadOnlyList<InputError> errors)
    {
        ArgumentNullException.ThrowIfNull(given);
        var reader = new AdviceQuestionReader(given, prefix);
        var read = reader.Read();
        errors = reader._errors;
        question = errors.Count == 0 ? read : null;
        return question is not null;
    }

    private AdviceQuestion Read()
    {
        foreach (var name in _given.Keys.Where(name => !Names.Contains(name)).Order(StringComparer.Ordinal))
        {
            Mistake(name, $"is not known; allowed: {string.Join(", ", Names.Select(known => _prefix + known))}");
        }

        if (!_given.ContainsKey("product"))
        {
            Mistake("product", $"is missing; allowed: {string.Join(", ", AdviceWords.All<ProductKind>())}");
        }

        return new()
        {
            Product = Word<ProductKind>("product") ?? ProductKind.Other,
            ExpectedFlashCelsius = _given.GetValueOrDefault("expected-flash") == Unknown ? null : Number("expected-flash", RunPlan.ExpectedFlashRangeCelsius, "°C", $", or {Unknown}"),
            Viscosity = Viscosity(),
            Solids = Flag("solids"),
            FilmForming = Flag("film-forming"),
            FirePoint = Flag("fire-point"),
            VolatileContamination = Flag("volatile-contamination"),
            Purpose = Word<TestPurpose>("purpose"),
        };
    }

    private KinematicViscosity? Viscosity()
    {
        var (value, at) = (Number("viscosity", AdviceQuestion.ViscosityRange, "mm²/s"), Number("viscosity-at", AdviceQuestion.ViscosityAtRangeCelsius, "°C"));
        if (_given.ContainsKey("viscosity") != _given.ContainsKey("viscosity-at"))
        {
            var (missing, other) = _given.ContainsKey("viscosity") ? ("viscosity-at", "viscosity") : ("viscosity", "viscosity-at");
            Mistake(missing, $"is missing; {_prefix}{other} says nothing without it");
        }

        return value is { } viscosity && at is { } celsius ? new(viscosity, celsius) : null;
    }

    private double? Number(string name, ValueRange range, string unit, string orElse = "")
    {
        if (!_given.TryGetValue(name, out var text))
        {
            return null;
        }

        // No thousands marks: a comma could be meant as a decimal mark.
        if (double.TryParse(text, NumberStyles.Float, CultureInfo.InvariantCulture, out var value) && range.Contains(value))
        {
            return value;
        }

        Mistake(name, string.Create(CultureInfo.InvariantCulture, $"'{text}' is not a number with a decimal point within {range.From} to {range.To} {unit}{orElse}"));
        return null;
    }

    private T? Word<T>(string name)
        where T : struct, Enum
    {
        if (!_given.TryGetValue(name, out var text))
        {
            return null;
        }

        var value = AdviceWords.Find<T>(text);
        if (value is null)
        {
            Mistake(name, $"there is no '{text}'; allowed: {string.Join(", ", AdviceWords.All<T>())}");
        }

        return value;
    }

    private bool Flag(string name)
    {
        if (_given.TryGetValue(name, out var text) && text is not ("true" or "false"))
        {
            Mistake(name, $"'{text}' is neither true nor false");
        }

        return text == "true";
    }

    private void Mistake(string name, string message) => _errors.Add(new(_prefix + name, message));
}
