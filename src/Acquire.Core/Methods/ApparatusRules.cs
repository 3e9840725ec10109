namespace Acquire.Core.Methods;

/// <summary>The kinds of test cup.</summary>
public enum CupKind
{
    /// <summary>The flame passes over an open surface.</summary>
    Open,

    /// <summary>The flame is let into the vapour under a lid.</summary>
    Closed,
}

/// <summary>How the cup gets its heat.</summary>
public enum HeatingKind
{
    /// <summary>By a flame or an electric plate below the cup.</summary>
    Direct,

    /// <summary>By a liquid bath around the cup.</summary>
    Bath,

    /// <summary>By a metal block around the cup, held at a temperature.</summary>
    Block,
}

/// <summary>The two ways to look for a flash point.</summary>
public enum ProcedureKind
{
    /// <summary>One test portion is heated along a ramp and the flame is applied again and again.</summary>
    Ramp,

    /// <summary>A fresh test portion is brought to a fixed temperature and the flame is applied once.</summary>
    Equilibrium,
}

/// <summary>Cup, fill and test flame.</summary>
/// <param name="Cup">The test cup, in words.</param>
/// <param name="Fill">Quantity and level of the test portion, in words.</param>
/// <param name="TestFlame">Size and movement of the test flame, in words.</param>
public sealed record ApparatusRules(string Cup, string Fill, string TestFlame);

/// <summary>How the specimen is stirred.</summary>
/// <param name="RevolutionsPerMinute">Allowed speeds of the stirrer, r/min.</param>
/// <param name="StoppedDuringApplication">Whether it is stopped while the flame is applied.</param>
public sealed record StirringRules(ValueRange RevolutionsPerMinute, bool StoppedDuringApplication)
{
    /// <summary>A stirrer that stands, or turns outside its speeds, for longer than this while the specimen is heated and no flame is applied is a finding, s; null: not judged.</summary>
    public double? OutsideSeconds { get; init; }
}
