namespace Acquire.Service.Configuration.Parsing;

/// <summary>Finds the word somebody probably meant.</summary>
internal static class NearestKey
{
    /// <summary>The known word with the fewest edits from the given one; null where none is close enough to be a slip.</summary>
    public static string? Find(string given, IEnumerable<string> known)
    {
        if (given.Length > 64)
        {
            return null;
        }

        var best = known.Select(word => (Word: word, Edits: Edits(given, word))).OrderBy(candidate => candidate.Edits).FirstOrDefault();
        return best.Word is not null && best.Edits <= Math.Max(2, best.Word.Length / 3) && best.Edits < best.Word.Length ? best.Word : null;
    }

    // Levenshtein distance on lower-case letters: a wrong capital is the cheapest slip.
    private static int Edits(string left, string right)
    {
        var row = Enumerable.Range(0, right.Length + 1).ToArray();
        for (var i = 1; i <= left.Length; i++)
        {
            var diagonal = row[0];
            row[0] = i;
            for (var j = 1; j <= right.Length; j++)
            {
                var change = char.ToLowerInvariant(left[i - 1]) == char.ToLowerInvariant(right[j - 1]) ? 0 : 1;
                (diagonal, row[j]) = (row[j], Math.Min(diagonal + change, Math.Min(row[j], row[j - 1]) + 1));
            }
        }

        return row[right.Length];
    }
}
