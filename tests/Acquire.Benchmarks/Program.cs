using System.Reflection;
using Acquire.Benchmarks.Campaigns;
using Acquire.Benchmarks.Campaigns.Flash;
using BenchmarkDotNet.Running;

// A campaign by its name; else what BenchmarkDotNet is told.
switch (args)
{
    case ["cost"]:
        Cost.Run();
        break;
    case ["lab", ..]:
        Lab.Run(args);
        break;
    case ["fire-report", .. var rest]:
        FireReport.Print(Console.Out, rest);
        break;
    case ["ramp-report", .. var rest]:
        RampReport.Write(rest);
        break;
    default:
        BenchmarkSwitcher.FromAssembly(Assembly.GetExecutingAssembly()).Run(args);
        break;
}
