using Acquire.Core.Thermometry;

namespace Acquire.Service.Configuration.Parsing;

/// <summary>Where a source's temperature and reference junction stand in the file, so that the thermometer's description can be held against them.</summary>
internal sealed class ThermometerWiring
{
    /// <summary>Whether the source is one that testers share, and no tester's: it tells of the room and has no thermometer.</summary>
    public bool IsAmbient { get; init; }

    /// <summary>Unit of the temperature channel; null where there is none, or none that is known.</summary>
    public ThermometerUnit? Unit { get; private set; }

    /// <summary>Path of the temperature channel's unit.</summary>
    public string UnitPath { get; private set; } = "";

    /// <summary>Path of the junction channel; null where there is none.</summary>
    public string? JunctionPath { get; private set; }

    public void NoteTemperature(ReadingUnit unit, string path)
    {
        // Of several temperatures, which is a mistake of its own, the first is looked at.
        if (UnitPath.Length == 0)
        {
            (Unit, UnitPath) = (unit.ToThermometer(), path);
        }
    }

    public void NoteJunction(string path) => JunctionPath ??= path;
}
