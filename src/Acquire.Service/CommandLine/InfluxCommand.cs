using System.CommandLine;
using Acquire.Service.CommandLine.Influxing;

namespace Acquire.Service.CommandLine;

/// <summary>`acquire influx`: what was handed on to InfluxDB, what was not, and both sides compared.</summary>
internal static class InfluxCommand
{
    public static Command Build() => new("influx", "See how the archive is handed on to InfluxDB, send runs again, and compare both sides; see docs/influx.md.")
    {
        StatusCommand.Build(),
        BackfillCommand.Build(),
        CompareCommand.Build(),
        RejectedCommand.Build(),
    };
}
