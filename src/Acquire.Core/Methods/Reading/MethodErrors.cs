using System.Globalization;

namespace Acquire.Core.Methods.Reading;

/// <summary>Collects what is wrong with a method, below one path of its file.</summary>
internal sealed class MethodErrors(List<InputError> found, string path)
{
    /// <summary>Collects below a key, or below an entry of a list such as `variants[0]`.</summary>
    public MethodErrors Below(string key) => new(found, PathOf(key));

    /// <summary>Notes a mistake.</summary>
    public void Add(string key, string message) => found.Add(new(PathOf(key), message));

    /// <summary>Notes a mistake unless the condition holds.</summary>
    public void Require(bool holds, string key, string message)
    {
        if (!holds)
        {
            Add(key, message);
        }
    }

    /// <summary>A number within a range, ends included; null is fine.</summary>
    public void Number(string key, double? value, double least, double most)
    {
        if (value is { } number && !(number >= least && number <= most))
        {
            Add(key, $"{Show(number)} is not within {Show(least)} to {Show(most)}");
        }
    }

    /// <summary>Two numbers within a range, the first below the second; null is fine.</summary>
    public void Range(string key, (double From, double To)? value, double least, double most)
    {
        if (value is not var (from, to))
        {
            return;
        }

        Number(key + ".from", from, least, most);
        Number(key + ".to", to, least, most);
        Require(from < to, key, $"from {Show(from)} is not below to {Show(to)}");
    }

    /// <summary>A band of rates; null is fine.</summary>
    public void Band(string key, RateBand? band) => Range(key, band is null ? null : (band.From, band.To), 0.1, 50);

    /// <summary>A list of no more than some entries.</summary>
    public void AtMost(string key, int? count, int most) => Require(!(count > most), key, $"has {count} entries; allowed: up to {most}");

    /// <summary>Text that is not only spaces; null is fine.</summary>
    public void Text(string key, string? value) => Require(value is null || !string.IsNullOrWhiteSpace(value), key, "is empty");

    private string PathOf(string key) => path.Length == 0 ? key : $"{path}.{key}";

    /// <summary>A number as it would be written in the file.</summary>
    public static string Show(double value) => value.ToString("0.###", CultureInfo.InvariantCulture);

    /// <summary>The path of an entry of a list.</summary>
    public static string Entry(string key, int index) => string.Create(CultureInfo.InvariantCulture, $"{key}[{index}]");
}
