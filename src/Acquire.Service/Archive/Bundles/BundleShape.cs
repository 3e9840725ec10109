using System.Globalization;
using Acquire.Service.Archive.Chain;

namespace Acquire.Service.Archive.Bundles;

/// <summary>Whether the records of a bundle are those of one run that has ended.</summary>
internal static class BundleShape
{
    // All topics of a tester on MQTT, of up to 1024 characters each: what a service can write must be importable.
    private const int LongestSource = 32_768;

    /// <summary>What is wrong; null where nothing is.</summary>
    public static string? Fault(RunBundle bundle)
    {
        var counts = bundle.Records.CountBy(record => record.Kind).ToDictionary(kind => kind.Key, kind => kind.Value);
        if (counts[RecordKind.Header] != 1 || counts.GetValueOrDefault(RecordKind.Closing) + counts.GetValueOrDefault(RecordKind.Interruption) != 1)
        {
            return "its records are not those of one run that was closed or interrupted";
        }

        if (!counts.ContainsKey(RecordKind.Closing) && (counts.ContainsKey(RecordKind.Result) || counts.ContainsKey(RecordKind.Approval)))
        {
            return "it was interrupted, and has a result or an approval; only a run that was closed has one";
        }

        foreach (var kind in counts.Keys.Where(BundleRecord.HasPart))
        {
            // What is added to a run is counted from 1, what it is made of from 0.
            var first = kind == RecordKind.Event || kind == RecordKind.Chunk ? 0L : 1L;
            if (!bundle.Records.Where(record => record.Kind == kind).Select(record => record.Part).Order().SequenceEqual(Enumerable.Range(0, counts[kind]).Select(index => first + index)))
            {
                return $"its records of the kind {kind.Word} are not numbered without a gap";
            }
        }

        return Rows(bundle) ?? Texts(bundle);
    }

    private static string? Rows(RunBundle bundle)
    {
        var rows = 0L;
        foreach (var chunk in bundle.Records.Where(record => record.Kind == RecordKind.Chunk).OrderBy(record => record.Part))
        {
            if (chunk["row_count"] is not long count || count is < 1 or > Archive.Rows.RowChunk.MostRows || chunk["first_row"] is not long first || first != rows)
            {
                return string.Create(CultureInfo.InvariantCulture, $"its chunk {chunk.Part} does not say how many readings it has, or does not follow the one before");
            }

            rows += count;
        }

        return rows > BundleTrial.MostRows ? $"it has {rows} readings; a run from outside may have {BundleTrial.MostRows}" : null;
    }

    // What people will see, and programs will take for names.
    private static string? Texts(RunBundle bundle)
    {
        foreach (var record in bundle.Records)
        {
            foreach (var (column, longest) in Named(record.Kind))
            {
                if (record[column] is string text && BundleRules.WhyNoText(text, longest) is { } no)
                {
                    return $"the {column} of its {ArchiveFault.Name(record.Kind, record.Part)} {no}";
                }
            }
        }

        return null;
    }

    private static IEnumerable<(string Column, int Longest)> Named(RecordKind kind) =>
        kind == RecordKind.Header ? [("tester_id", 80), ("specimen", 200), ("source", LongestSource), ("software_version", 200), ("started_at_utc", 40)]
        : kind == RecordKind.Correction ? [("person", 80), ("old_value", 500), ("new_value", 500), ("reason", 500)]
        : kind == RecordKind.Result ? [("software_version", 200)]
        : kind == RecordKind.Approval ? [("person", 80)]
        : kind == RecordKind.Import ? [("person", 80), ("reason", 500), ("software_version", 200), ("origin_archive", 40), ("origin_version", 200), ("signer", 64)]
        : [];
}
