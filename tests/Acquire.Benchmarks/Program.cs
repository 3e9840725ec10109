using System.Reflection;
using Acquire.Benchmarks.Campaigns;
using Acquire.Benchmarks.Campaigns.Flash;
using BenchmarkDotNet.Running;

// A campaign by its name; else what BenchmarkDotNet is told.
switch (args.FirstOrDefault())
{
    case "cost":
        Cost.Run();
        break;
    case "lab":
        Lab.Run(args);
        break;
    case "fire-report":
        FireReport.Print(Console.Out, args.Skip(1));
        break;
    default:
        BenchmarkSwitcher.FromAssembly(Assembly.GetExecutingAssembly()).Run(args);
        break;
}
