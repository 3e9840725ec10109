using System.Text.Json;

namespace Acquire.Core.Methods.Advising;

/// <summary>The words by which a person chooses a product or a purpose: the names of the values in lower case, joined by hyphens.</summary>
public static class AdviceWords
{
    /// <summary>All words, in the order of the values.</summary>
    public static IReadOnlyList<string> All<T>()
        where T : struct, Enum => [.. Enum.GetValues<T>().Select(Of)];

    /// <summary>The word for a value.</summary>
    public static string Of<T>(T value)
        where T : struct, Enum => JsonNamingPolicy.KebabCaseLower.ConvertName(value.ToString());

    /// <summary>The value for a word, exactly as written; null where there is none.</summary>
    public static T? Find<T>(string word)
        where T : struct, Enum => Enum.GetValues<T>().Where(value => Of(value) == word).Select(value => (T?)value).FirstOrDefault();
}
