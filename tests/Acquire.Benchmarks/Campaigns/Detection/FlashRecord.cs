using Acquire.Core.Readings;

namespace Acquire.Benchmarks.Campaigns.Detection;

/// <summary>Counts the readings about a moment that came in order of time: messages may be lost just there.</summary>
/// <param name="moment">The moment, s.</param>
/// <param name="earlier">How far before it, s.</param>
/// <param name="later">And after it, s.</param>
internal sealed class FlashRecord(double moment, double earlier, double later)
{
    /// <summary>Readings counted.</summary>
    public int Seen { get; private set; }

    /// <summary>Passes rows on, and counts.</summary>
    public IEnumerable<ReadingRow> Count(IEnumerable<ReadingRow> rows)
    {
        var newest = double.NegativeInfinity;
        foreach (var row in rows)
        {
            if (row.AtSeconds > newest)
            {
                newest = row.AtSeconds;
                Seen += newest >= moment - earlier && newest <= moment + later ? 1 : 0;
            }

            yield return row;
        }
    }
}
