using Acquire.Service.Archive.Database;
using Microsoft.Data.Sqlite;

namespace Acquire.Service.Archive;

/// <summary>Finds the runs of a filter: their numbers in the order of the list, newest start first.</summary>
internal static class RunListQuery
{
    // What was corrected or judged anew takes the place of what the run was closed with.
    private const string Specimen = "coalesce((SELECT new_value FROM corrections WHERE run = r.number AND field = 'specimen' ORDER BY number DESC LIMIT 1), r.specimen)";
    private const string Function = "acquire_contains";

    /// <summary>A statement that selects column `number`, with its parameters put to the command.</summary>
    public static string Build(SqliteConnection connection, SqliteCommand command, RunFilter filter)
    {
        var conditions = new List<string>();
        void Add(string condition, object? value)
        {
            if (value is not null)
            {
                conditions.Add(condition.Replace("$", $"$f{command.Parameters.Count}", StringComparison.Ordinal));
                command.Parameters.AddWithValue($"$f{command.Parameters.Count}", value);
            }
        }

        if (filter.Specimen is not null)
        {
            // SQLite folds ASCII letters only.
            connection.CreateFunction(Function, (string text, string part) => text.Contains(part, StringComparison.OrdinalIgnoreCase), isDeterministic: true);
        }

        Add("r.tester_id = $", filter.TesterId);
        Add($"{Function}({Specimen}, $)", filter.Specimen);
        Add("r.method_id = $", filter.MethodId);
        Add($"{Newest("verdict")} = $", filter.Verdict is { } verdict ? ArchiveStatements.Word(verdict) : null);
        Add("r.started_at_utc >= $", Utc(filter.StartedFrom));
        Add("r.started_at_utc < $", Utc(filter.StartedBefore));
        Add("coalesce(r.closed_at_utc, r.interrupted_at_utc) < $", Utc(filter.EndedBefore));
        Add($"{Newest("reported_flash_celsius")} >= $", filter.FlashFromCelsius);
        Add($"{Newest("reported_flash_celsius")} <= $", filter.FlashToCelsius);
        Add($"{Newest("reported_fire_celsius")} >= $", filter.FireFromCelsius);
        Add($"{Newest("reported_fire_celsius")} <= $", filter.FireToCelsius);
        Add("(r.started_at_utc, r.number) < (SELECT started_at_utc, number FROM runs WHERE id = $)", filter.After);
        if (filter.Standing is { } standing)
        {
            conditions.Add(standing switch
            {
                RunStanding.Open => "r.closed_at_utc IS NULL AND r.interrupted_at_utc IS NULL",
                RunStanding.Closed => "r.closed_at_utc IS NOT NULL",
                _ => "r.interrupted_at_utc IS NOT NULL",
            });
        }

        command.Parameters.AddWithValue("$limit", filter.Limit);
        var where = conditions.Count > 0 ? $"WHERE {string.Join(" AND ", conditions)} " : "";
        return $"SELECT r.number FROM runs r {where}ORDER BY r.started_at_utc DESC, r.number DESC LIMIT $limit";
    }

    // A later result that reports nothing reports nothing: what stood there before it is not looked for.
    private static string Newest(string column) =>
        $"CASE WHEN EXISTS (SELECT 1 FROM results WHERE run = r.number) THEN (SELECT {column} FROM results WHERE run = r.number ORDER BY number DESC LIMIT 1) ELSE r.{column} END";

    private static string? Utc(DateTimeOffset? at) => at is { } time ? ArchiveStatements.Utc(time) : null;
}
