using System.Reflection;
using Acquire.Benchmarks.Campaigns.Detection;
using BenchmarkDotNet.Running;

switch (args)
{
    case ["detection-report", .. var rest]:
        return DetectionReport.Run(rest);
    case ["detection-trace", .. var rest]:
        return DetectionTrace.Run(rest);
    default:
        BenchmarkSwitcher.FromAssembly(Assembly.GetExecutingAssembly()).Run(args);
        return 0;
}
