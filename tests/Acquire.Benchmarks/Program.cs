using System.Reflection;
using Acquire.Benchmarks.Campaigns;
using BenchmarkDotNet.Running;

// A campaign by its name, or else the benchmarks.
if (args is ["ramp-report", .. var rest])
{
    RampReport.Write(rest);
    return;
}

BenchmarkSwitcher.FromAssembly(Assembly.GetExecutingAssembly()).Run(args);
