using System.Globalization;
namespace Acquire.Core.Tests.Control;

/// <summary>Many heatings of one kind, and the table of what came of them.</summary>
internal sealed record Campaign(CupKind Kind, Knowledge Knowledge, double Target, IReadOnlyList<DrivenHeating> Heatings)
{
    /// <summary>Heats cups with the seeds of a campaign.</summary>
    public static Campaign Of(CupKind kind, Knowledge knowledge, int cups, int firstSeed, double judgedFromSeconds)
    {
        var heatings = new List<DrivenHeating>();
        var target = 0.0;
        for (var i = 0; i < cups; i++)
        {
            var cup = new CupDraw(firstSeed + i, kind, knowledge);
            target = cup.RatePerMinute;
            heatings.Add(DrivenHeating.Of(cup, judgedFromSeconds));
        }

        return new Campaign(kind, knowledge, target, heatings);
    }

    // Half the method's band; for 3 °C/min 0.5, for 1 °C/min 0.25.
    private double Band => Kind == CupKind.SlowBath ? 0.25 : 0.5;

    public double Lowest => Heatings.Min(heating => heating.Lowest);

    public double Highest => Heatings.Max(heating => heating.Highest);

    public double TrueWorst => Heatings.Max(heating => heating.TrueWorst);

    public double StartHighest => Heatings.Max(heating => heating.StartHighest);

    public double SettledSeconds => Heatings.Max(heating => heating.SettledSeconds);

    public int Trips => Heatings.Count(heating => heating.Trips.Count > 0);

    /// <summary>Cups whose recorded rate never left a band about the target, °C/min.</summary>
    public int Within(double distance) => Heatings.Count(heating => heating.WorstFrom(Target) <= distance);

    /// <summary>One row of a Markdown table: kind, knowledge, cups, those within their band, recorded and true distances from the target, start, settling, trips.</summary>
    public string Row()
    {
        var recorded = Heatings.Select(heating => heating.WorstFrom(Target)).Order().ToArray();
        var truth = Heatings.Select(heating => heating.TrueWorst).Order().ToArray();
        return string.Create(CultureInfo.InvariantCulture,
            $"| {Kind} | {Knowledge} | {Heatings.Count} | {Within(Band)} | {At(recorded, 0.5):0.00} / {At(recorded, 0.95):0.00} / {recorded[^1]:0.00} | {At(truth, 0.5):0.00} / {At(truth, 0.95):0.00} / {truth[^1]:0.00} | {Lowest:0.00} to {Highest:0.00} | {StartHighest:0.0} | {SettledSeconds:0} | {Trips} |");
    }

    private static double At(double[] sorted, double part) => sorted[(int)(part * (sorted.Length - 1))];
}
