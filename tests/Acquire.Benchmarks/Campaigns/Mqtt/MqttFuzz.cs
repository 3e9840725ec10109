using System.Globalization;
using System.Text;

namespace Acquire.Benchmarks.Campaigns.Mqtt;

/// <summary>Gives the dispatcher of MQTT messages what no sound tester sends: damaged payloads, noise, and topics that nobody asked for. Nothing may throw, and no row may hold what a reading cannot be.</summary>
internal static class MqttFuzz
{
    /// <summary>Plays the inputs; the first word may be how many.</summary>
    /// <returns>0 where all was well, 1 after a fault.</returns>
    public static int Run(string[] args) => FuzzCampaign.Run(args, "mqtt fuzz", MessagePlay.LongestInput, random => new MessagePlay(random), Write);

    private static void Write(MessagePlay play, StringBuilder text)
    {
        text.AppendLine("| payload | inputs | rows read | of damaged payloads | refused | came twice | for nobody |");
        text.AppendLine("| --- | --- | --- | --- | --- | --- | --- |");
        foreach (var (name, tally) in play.Tallies)
        {
            text.AppendLine(CultureInfo.InvariantCulture, $"| {name} | {tally.Inputs:#,0} | {tally.Rows:#,0} | {tally.Damaged:#,0} | {tally.Refused:#,0} | {tally.Repeated:#,0} | {tally.ForNobody:#,0} |");
        }
    }
}
