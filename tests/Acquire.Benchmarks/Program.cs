using System.Globalization;
using System.Reflection;
using Acquire.Benchmarks.Campaigns;
using Acquire.Benchmarks.Campaigns.Archive;
using Acquire.Benchmarks.Campaigns.Detection;
using Acquire.Benchmarks.Campaigns.Load;
using Acquire.Benchmarks.Campaigns.Modbus;
using Acquire.Benchmarks.Campaigns.Mqtt;
using Acquire.Benchmarks.Campaigns.Serial;
using BenchmarkDotNet.Running;

// A campaign by its name; else what BenchmarkDotNet is told.
switch (args)
{
    case ["archive-kill-report", .. var rest]:
        return await KillReport.RunAsync(rest);
    case ["archive-power-report", .. var rest]:
        return await PowerReport.RunAsync(rest);
    case ["archive-figures", .. var rest]:
        return await ArchiveFigures.RunAsync(rest).ConfigureAwait(false);
    case ["detection-report", .. var rest]:
        return DetectionReport.Run(rest);
    case ["detection-trace", .. var rest]:
        return DetectionTrace.Run(rest);
    case ["detection-cost", .. var rest]:
        return DetectionCost.Run(rest);
    case ["fire-report", .. var rest]:
        FireReport.Print(Console.Out, rest);
        return 0;
    case ["load", .. var rest]:
        return await LoadCommand.RunAsync(rest);
    case [CountingChild.Broker or CountingChild.BrokerAndSubscriber or CountingChild.Subscriber, var port]:
        return await CountingChild.RunAsync(args[0], int.Parse(port, CultureInfo.InvariantCulture));
    case ["modbus-fuzz", .. var rest]:
        return ModbusFuzz.Run(rest);
    case ["mqtt-fuzz", .. var rest]:
        return MqttFuzz.Run(rest);
    case ["ramp-report", .. var rest]:
        RampReport.Write(rest);
        return 0;
    case ["serial-fuzz", .. var rest]:
        return SerialFuzz.Run(rest);
    default:
        BenchmarkSwitcher.FromAssembly(Assembly.GetExecutingAssembly()).Run(args);
        return 0;
}
