using System.Diagnostics.CodeAnalysis;
using Acquire.Core;
using Acquire.Core.Methods;
using Acquire.Core.Readings;
using Acquire.Service.Live;

namespace Acquire.Service.Lanes.Starting;

/// <summary>Starts a run by itself where a tester begins a new record with a cold cup.</summary>
/// <remarks>
/// A record begins where the tester's time axis begins (<see cref="DeviceClock.Begins"/>). Its first thermometer reading decides, once:
/// a cup colder than <see cref="BelowCelsius"/> starts a run, a hot cup does not, whatever comes later on the same axis.
/// </remarks>
internal sealed class AutoStart(RunOrder order)
{
    /// <summary>A cup this much warmer than the method allows still starts a run, °C: the run then carries the finding, where no run would carry nothing.</summary>
    public const double AllowanceCelsius = 5;

    private bool _undecided;

    /// <summary>Makes an automatic start of a request. On failure the errors name each field and what it may hold.</summary>
    public static bool TryMake(StartRunRequest request, OrderFacts tester, MethodSet methods, [NotNullWhen(true)] out AutoStart? start, out IReadOnlyList<InputError> errors)
    {
        start = null;
        if (!RunOrderRules.TryMake(request, tester, methods, out var order, out errors))
        {
            return false;
        }

        if (order.Plan.IsEquilibrium)
        {
            errors = [new("methodId", $"{request.MethodId} begins with a person who sets the block; only a run along a ramp can start by itself")];
            return false;
        }

        start = new(order);
        return true;
    }

    /// <summary>What is run.</summary>
    public RunOrder Order => order;

    /// <summary>A run starts only below this temperature, °C.</summary>
    public double BelowCelsius => order.Plan.Rules.StartAtMostCelsius + AllowanceCelsius;

    /// <summary>Whether a run is to start with this row. To be asked for every row while no run is open.</summary>
    public bool Starts(in ReadingRow row, bool axisBegins)
    {
        _undecided |= axisBegins;
        if (!_undecided || !row.HasSoundTemperature)
        {
            return false;
        }

        _undecided = false;
        return row.TemperatureCelsius < BelowCelsius;
    }
}
