using System.Text;
using Acquire.Core.Readings;

namespace Acquire.Service.Archive.Exports;

/// <summary>Readings as a trace file that `acquire replay` reads. A channel that a row does not carry is an empty field, never a zero.</summary>
internal static class ReadingsCsvText
{
    private const int PieceCharacters = 32 * 1024;

    /// <summary>The file in pieces, so that no one needs all of it in memory.</summary>
    public static IEnumerable<string> Pieces(IReadOnlyList<ReadingColumn> columns, IEnumerable<ReadingRow> rows)
    {
        var text = new StringBuilder(PieceCharacters + 256);
        CsvText.Line(text, columns.Select(column => column.Name));
        foreach (var row in rows)
        {
            Append(text, columns, row);
            if (text.Length >= PieceCharacters)
            {
                yield return text.ToString();
                text.Clear();
            }
        }

        yield return text.ToString();
    }

    private static void Append(StringBuilder text, IReadOnlyList<ReadingColumn> columns, in ReadingRow row)
    {
        for (var i = 0; i < columns.Count; i++)
        {
            text.Append(i == 0 ? "" : ",").Append(columns[i].Text(row));
        }

        text.Append(CsvText.End);
    }
}
