namespace Acquire.Core.Runs;

/// <summary>What is told of the bench beside thermometer, detector and the flame's position. Part of a run's snapshot.</summary>
internal sealed class BenchLedger
{
    /// <summary>Whether the test flame burns.</summary>
    public YesNoCourse Lit { get; set; } = new();

    /// <summary>Whether the stirrer turns.</summary>
    public YesNoCourse Turns { get; set; } = new();

    /// <summary>Newest speed of the stirrer, r/min; null where only its turning is told.</summary>
    public double? RevolutionsPerMinute { get; set; }

    /// <summary>The reading of its speed before, r/min; null likewise.</summary>
    public double? RevolutionsBefore { get; set; }

    /// <summary>How long it stood within the open stretch, s.</summary>
    public double StirrerStoodSeconds { get; set; }

    /// <summary>How long it stood within the longest stretch, s.</summary>
    public double StirrerLongestStoodSeconds { get; set; }

    /// <summary>Speed farthest from its band while it turned, r/min; null where it never turned outside.</summary>
    public double? StirrerWorstTurning { get; set; }

    /// <summary>The stirrer standing or outside its speeds.</summary>
    public Stretch Stirrer { get; set; } = new();

    /// <summary>Applications during which the stirrer turned though the method stops it.</summary>
    public WrongApplications Stirred { get; set; } = new();

    /// <summary>Speed of the air, m/s.</summary>
    public SlowMean Air { get; set; } = new();

    /// <summary>Air above the limit.</summary>
    public Stretch Draught { get; set; } = new();

    /// <summary>Applications in a draught.</summary>
    public WrongApplications Draughty { get; set; } = new();

    /// <summary>Temperature of the room, °C.</summary>
    public SlowMean Room { get; set; } = new();

    /// <summary>When the first temperature of the room was read, s; null before.</summary>
    public double? RoomSince { get; set; }

    /// <summary>Lowest temperature of the room while the specimen was heated, °C.</summary>
    public double RoomLowest { get; set; } = double.PositiveInfinity;

    /// <summary>Highest temperature of the room while the specimen was heated, °C.</summary>
    public double RoomHighest { get; set; } = double.NegativeInfinity;

    /// <summary>When the room had changed by more than the limit, s; null while it has not.</summary>
    public double? RoomChangedAt { get; set; }

    /// <summary>Specimen temperature then, °C.</summary>
    public double? RoomChangedCelsius { get; set; }

    /// <summary>When the room was first outside the method's range, s; null while it was not.</summary>
    public double? RoomOutsideAt { get; set; }

    /// <summary>Specimen temperature then, °C.</summary>
    public double? RoomOutsideCelsius { get; set; }

    /// <summary>Whether the sensor of the test flame still speaks.</summary>
    public ChannelRhythm LitRhythm { get; set; } = new();

    /// <summary>Whether that of the stirrer does.</summary>
    public ChannelRhythm TurnsRhythm { get; set; } = new();

    /// <summary>Whether that of the air does.</summary>
    public ChannelRhythm AirRhythm { get; set; } = new();

    /// <summary>Whether that of the room does.</summary>
    public ChannelRhythm RoomRhythm { get; set; } = new();

    /// <summary>Whether anything was told that can change with time alone.</summary>
    public bool IsTold { get; set; }
}
