using Acquire.Core;
using Acquire.Core.Readings;
using Acquire.Core.Runs;
using Acquire.Core.Thermometry;

namespace Acquire.Service.CommandLine;

/// <summary>Decides which temperatures of a recorded trace are judged: those it holds, or those that a chain makes of its signals.</summary>
internal static class TraceThermometer
{
    /// <summary>Why a chain does not go with a trace; null where it does.</summary>
    public static InputError? Check(string file, Trace trace, ThermometerChain? chain)
    {
        if (chain is null)
        {
            return trace.HasTemperature ? null
                : new($"{file}, line 1", "has the thermometer's signal but no temperature_c; give --thermometer with the chain that makes temperatures of it (a run's thermometer.json)");
        }

        if (chain.Unit != trace.SignalUnit && !(chain.Unit == ThermometerUnit.Celsius && trace is { SignalUnit: null, HasTemperature: true }))
        {
            var has = trace.SignalUnit is { } unit ? $"the column {ThermometerColumns.Signals[unit]}" : "no column with a signal";
            return new($"{file}, line 1", $"has {has}; the chain given with --thermometer needs {ThermometerColumns.Signals[chain.Unit]}");
        }

        var hasJunction = trace.Rows.Any(row => row.Has(RowChannels.Junction));
        return chain.Sensor is ThermocoupleSensor { ReferenceJunction: ReferenceJunctionKind.Measured } && !hasJunction
            ? new($"{file}, line 1", $"has no readings in {ThermometerColumns.Junction}; the chain given with --thermometer has a measured reference junction")
            : null;
    }

    /// <summary>Judges the trace. Temperatures that were made of signals before, and marked, are taken as they stand unless a chain is given.</summary>
    public static Core.Results.RunResult Judge(RunPlan plan, Trace trace, IReadOnlyList<PersonEntry> entries, ThermometerChain? chain) =>
        chain is not null ? RunReplay.Run(plan with { Thermometer = chain }, trace.Rows, entries)
        : trace.HasMarks || trace.SignalUnit is not null ? RunReplay.RunAsRead(plan with { TemperaturesAsRead = true }, trace.Rows, entries)
        : RunReplay.Run(plan, trace.Rows, entries);
}
