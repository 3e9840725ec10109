using System.Globalization;
using System.Text;

namespace Acquire.Benchmarks.Campaigns.Load;

/// <summary>Loads the built service from outside and writes what it bears to docs/load.md.</summary>
internal static class LoadCommand
{
    private const string Document = "docs/load.md";

    /// <summary>Runs `share`, `testers`, or both.</summary>
    /// <param name="args">The part, then options: --rounds, --broker embedded|mosquitto, --testers, --seconds, --followed, --write.</param>
    /// <returns>0 where nothing was lost, else 1.</returns>
    public static async Task<int> RunAsync(string[] args)
    {
        var part = args is [var word, ..] && !word.StartsWith('-') ? word : "all";
        var good = true;
        if (part is "all" or "share")
        {
            good &= await ShareAsync(args);
        }

        if (part is "all" or "testers")
        {
            good &= await TestersAsync(args);
        }

        return good ? 0 : 1;
    }

    private static async Task<bool> ShareAsync(string[] args)
    {
        var rounds = Number(args, "--rounds", 5);
        var only = Text(args, "--broker");
        var rows = new StringBuilder();
        var good = true;
        foreach (var broker in new[] { "embedded", "mosquitto" }.Where(broker => only is null || only == broker))
        {
            good &= await ShareCampaign.RunAsync(broker == "embedded", rounds, rows);
        }

        var report = new StringBuilder();
        report.AppendLine(CultureInfo.InvariantCulture, $"{LoadMachine.Text}. `load share --rounds {rounds}`; medians, with lowest and highest, of {rounds} rounds after one that warms up.");
        report.AppendLine().AppendLine("| broker | bare | bare, messages/s | full path, messages/s | lost | share | goal 60 % |").AppendLine("| --- | --- | --- | --- | --- | --- | --- |").Append(rows);
        Tell(report, "load share", args.Contains("--write") || (only is null && rounds >= 5));
        return good;
    }

    private static async Task<bool> TestersAsync(string[] args)
    {
        var load = new SteadyLoad(Number(args, "--testers", 500), Number(args, "--seconds", 600), Number(args, "--followed", 24), Text(args, "--broker") != "mosquitto");
        var (good, text) = await SteadyCampaign.RunAsync(load);
        Tell(text, load.Embedded ? "load testers embedded" : "load testers mosquitto", args.Contains("--write") || (load.Testers >= 500 && load.Seconds >= 600));
        return good;
    }

    private static void Tell(StringBuilder report, string mark, bool write)
    {
        Console.Write(report);
        if (write)
        {
            DocumentFigures.Replace(Document, mark, report.ToString());
        }
    }

    private static int Number(string[] args, string name, int usual) => Text(args, name) is { } text ? int.Parse(text, CultureInfo.InvariantCulture) : usual;

    private static string? Text(string[] args, string name) => Array.IndexOf(args, name) is >= 0 and var at && at + 1 < args.Length ? args[at + 1] : null;
}
