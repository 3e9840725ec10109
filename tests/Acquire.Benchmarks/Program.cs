using System.Reflection;
using Acquire.Benchmarks.Campaigns.Flash;
using BenchmarkDotNet.Running;

if (args is ["cost"]) { Cost.Run(); return; }
if (args is ["lab", ..])
{
    Lab.Run(args);
    return;
}

BenchmarkSwitcher.FromAssembly(Assembly.GetExecutingAssembly()).Run(args);
