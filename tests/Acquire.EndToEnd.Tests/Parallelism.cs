using Xunit.Sdk;
using Xunit.v3;

// The tests mostly wait for simulated testers, which keep their own time; more at once than this would slow those down.
[assembly: Parallelization(Mode = ParallelMode.All, MaxThreads = 3)]
