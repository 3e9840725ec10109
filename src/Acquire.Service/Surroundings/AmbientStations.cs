namespace Acquire.Service.Surroundings;

/// <summary>The sources that testers share.</summary>
public sealed class AmbientStations
{
    private volatile IReadOnlyList<AmbientStation> _all;

    /// <param name="stations">The sources, in the order of the configuration; their ids are unique.</param>
    public AmbientStations(IReadOnlyList<AmbientStation> stations) => _all = stations;

    /// <summary>All of them.</summary>
    public IReadOnlyList<AmbientStation> All => _all;

    /// <summary>The source with an id; null where there is none.</summary>
    public AmbientStation? Find(string id) => _all.FirstOrDefault(station => station.Config.Id == id);

    /// <summary>Puts others in their place. Testers find them by their ids from now on.</summary>
    internal void Replace(IReadOnlyList<AmbientStation> stations) => _all = stations;
}
