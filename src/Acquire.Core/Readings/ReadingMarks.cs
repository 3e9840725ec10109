namespace Acquire.Core.Readings;

/// <summary>What is known against a thermometer reading.</summary>
/// <remarks>The numbers are archived: a mark never changes its number, a new mark gets a new one.</remarks>
[Flags]
public enum ReadingMarks
{
    /// <summary>Nothing.</summary>
    None = 0,

    /// <summary>The circuit of the sensor is broken.</summary>
    OpenCircuit = 1 << 0,

    /// <summary>The wires of the sensor touch each other.</summary>
    ShortCircuit = 1 << 1,

    /// <summary>The wires of the sensor are exchanged.</summary>
    ReversedPolarity = 1 << 2,

    /// <summary>The signal repeats one value although it used to change.</summary>
    Stuck = 1 << 3,

    /// <summary>The temperature jumped faster than any specimen can follow.</summary>
    ImpossibleJump = 1 << 4,

    /// <summary>The temperature lies outside what the sensor, or this tester, can have.</summary>
    OutOfRange = 1 << 5,

    /// <summary>The signal stands at an end of the converter's range.</summary>
    ConverterSaturated = 1 << 6,

    /// <summary>The thermometer sent nothing while other channels went on.</summary>
    Stale = 1 << 7,

    /// <summary>The temperature of the reference junction is unknown, too old or impossible, so the emf says nothing.</summary>
    JunctionMissing = 1 << 8,

    /// <summary>The transmitter signals a failure of its own.</summary>
    TransmitterFailure = 1 << 9,

    /// <summary>The reading came behind newer ones. Not bad in itself; it is kept and not judged.</summary>
    Late = 1 << 11,

    /// <summary>The reading lies outside the calibrated span; the nearest certified correction was used. Not bad in itself.</summary>
    OutsideCalibration = 1 << 12,

    /// <summary>A step that lasted was taken as real with this reading. Not bad in itself.</summary>
    StepTaken = 1 << 13,

    /// <summary>The lag correction that is configured could not be made: too few readings. Not bad in itself, and not used: beside corrected readings it would look like a step.</summary>
    LagUncorrected = 1 << 14,

    /// <summary>The signal has repeated one value for far longer than it used to. Not bad in itself, but no flash or fire point is read from it.</summary>
    Resting = 1 << 15,

    /// <summary>Any of these makes the reading unfit for use.</summary>
    Bad = OpenCircuit | ShortCircuit | ReversedPolarity | Stuck | ImpossibleJump | OutOfRange | ConverterSaturated | Stale | JunctionMissing | TransmitterFailure,

    /// <summary>With any of these a reading is not used.</summary>
    Unused = Bad | LagUncorrected,

    /// <summary>All marks there are.</summary>
    All = Bad | Late | OutsideCalibration | StepTaken | LagUncorrected | Resting,
}
