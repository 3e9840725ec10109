using System.Collections;
using Acquire.Core.Readings;
using Acquire.Core.Runs;

namespace Acquire.Simulator;

/// <summary>One determination by a simulated tester: its rows, and the truth about it. The same options give the same rows each time they are enumerated.</summary>
public sealed class SimulatedRun : IEnumerable<ReadingRow>
{
    private readonly RunScript script;
    private readonly SimulatorOptions disturbed;

    /// <summary>Plays the run; the rows are made while they are enumerated.</summary>
    /// <exception cref="ArgumentException">An option is out of range; <see cref="SimulatorOptions.Check"/> says which without throwing.</exception>
    public SimulatedRun(SimulatorOptions options)
    {
        ArgumentNullException.ThrowIfNull(options);
        var errors = options.Check();
        if (errors.Count > 0)
        {
            throw new ArgumentException(string.Join("; ", errors), nameof(options));
        }

        Options = options;
        disturbed = DisturbedOptions.Of(options);
        script = options.IsEquilibrium ? new PortionScriptWriter(disturbed).Write() : new ScriptWriter(disturbed).Write();
        script = script with { Truth = script.Truth with { Options = options, Disturbances = SimulatedDisturbance.Of(options, script) } };
    }

    /// <summary>What the run was made from.</summary>
    public SimulatorOptions Options { get; }

    /// <summary>What really happens in it; known before the first row is read.</summary>
    public SimulatedTruth Truth => script.Truth;

    /// <summary>What a person enters beside the rows: each fresh test portion of an equilibrium procedure; empty for a run along a ramp.</summary>
    public IReadOnlyList<PersonEntry> Entries => script.Entries;

    /// <summary>Temperature of the sensor at a moment, °C: what a perfect thermometer of its lag shows.</summary>
    /// <param name="seconds">The moment, s on the rows' own axis.</param>
    public double ThermometerAt(double seconds) => script.ReadAt(seconds);

    /// <summary>Temperature of a thermocouple's reference junction at a moment, °C.</summary>
    /// <param name="seconds">The moment, s on the rows' own axis.</param>
    public double JunctionAt(double seconds) => new ReferenceJunction(disturbed, script.Truth).CelsiusAt(seconds);

    /// <summary>What the tester's clock says at a moment, s: another time only where a disturbance made it jump.</summary>
    /// <param name="seconds">The moment, s on the axis of the truth.</param>
    public double StampOf(double seconds) => seconds + new MessageDisturbance(Options, 0).JumpAt(seconds);

    /// <summary>The rows as they arrive, from 0 s to the end of the record: in order of time unless a disturbance of the messages or the clock was asked for.</summary>
    public IEnumerator<ReadingRow> GetEnumerator() => Sendings().Select(sending => sending.Row).GetEnumerator();

    /// <summary>The rows with the moments at which they are sent.</summary>
    internal IEnumerable<Sending> Sendings() => new MessageDisturbance(Options, script.Truth.EndSeconds).Of(new RowRenderer(disturbed, script).Rows());

    /// <inheritdoc/>
    IEnumerator IEnumerable.GetEnumerator() => GetEnumerator();
}
