namespace Acquire.Core.Thermometry;

/// <summary>What a transmitter's signal says about itself.</summary>
public enum TransmitterState
{
    /// <summary>The signal is a temperature.</summary>
    Measuring,

    /// <summary>The transmitter works, but the temperature is beyond what its signal can carry.</summary>
    OutOfRange,

    /// <summary>The transmitter reports a failure of itself or its sensor by a low signal.</summary>
    FailureLow,

    /// <summary>The transmitter reports a failure of itself or its sensor by a high signal.</summary>
    FailureHigh,

    /// <summary>No current flows: a wire is broken, or the loop has no supply.</summary>
    LoopBroken,

    /// <summary>The current or voltage has the wrong sign: two wires are exchanged.</summary>
    Reversed,
}

/// <summary>A transmitter's signal, understood.</summary>
/// <param name="State">What it says about itself.</param>
/// <param name="Celsius">Temperature, °C; not a number unless measuring.</param>
public readonly record struct TransmitterReading(TransmitterState State, double Celsius);
