using System.CommandLine;
using System.Globalization;
using Acquire.Service.Archive.Influx.Feeding;
using Acquire.Service.Configuration;

namespace Acquire.Service.CommandLine.Influxing;

/// <summary>`acquire influx status`: how far the archive was handed on.</summary>
internal static class StatusCommand
{
    public static Command Build()
    {
        var (config, data) = (InfluxSession.Config(), InfluxSession.Data());
        var command = new Command("status", "Say how far the archive was handed on, what waits and what is set aside. Sends nothing; the service may run meanwhile.") { config, data };
        command.SetAction((parsed, _) => InfluxSession.TryBegin(parsed.GetValue(config)!, parsed.GetValue(data), parsed.InvocationConfiguration.Output, parsed.InvocationConfiguration.Error, out var session)
            ? session.RunAsync(() => Task.FromResult(Run(session)))
            : Task.FromResult(ExitCode.BadInput));
        return command;
    }

    internal static int Run(InfluxSession session)
    {
        var output = session.Output;
        output.WriteLine($"target     {session.Influx}");
        foreach (var warning in InfluxFiles.Warnings(session.Influx))
        {
            output.WriteLine($"warning    {warning}");
        }

        using var store = session.OpenStore();
        var look = new OutboxRuns(new(session.Options.ArchivePath), store, session.Time, onlyLooks: true).Look();
        output.WriteLine(string.Create(CultureInfo.InvariantCulture, $"waiting    {look.Rows} readings; something of {look.Runs} runs"));
        output.WriteLine(store.CurrentAt is { } at
            ? string.Create(CultureInfo.InvariantCulture, $"complete   as of {at:yyyy-MM-dd HH:mm:ss} UTC")
            : "complete   never yet");
        output.WriteLine(string.Create(CultureInfo.InvariantCulture, $"set aside  {store.SetAsideCount} records{(store.SetAsideCount > 0 ? " (acquire influx rejected)" : "")}"));
        output.WriteLine($"trouble    {store.Note ?? "none"}");
        return ExitCode.Done;
    }
}
