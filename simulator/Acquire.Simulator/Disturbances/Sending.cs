using Acquire.Core.Readings;

namespace Acquire.Simulator;

/// <summary>A row on its way.</summary>
/// <param name="DueSeconds">When it is sent, s since the start of the record; what the row says of its time may differ.</param>
/// <param name="Row">The row.</param>
internal readonly record struct Sending(double DueSeconds, ReadingRow Row)
{
    /// <summary>Rows with the moments at which they are sent: those of a simulated run as it has them, others at their own time.</summary>
    public static IEnumerable<Sending> Of(IEnumerable<ReadingRow> rows) => rows is SimulatedRun run ? run.Sendings() : rows.Select(row => new Sending(row.AtSeconds, row));
}
