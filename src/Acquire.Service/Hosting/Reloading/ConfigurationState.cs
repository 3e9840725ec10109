using Acquire.Service.Live;

namespace Acquire.Service.Hosting.Reloading;

/// <summary>What is known of the configuration in force, for whoever asks.</summary>
public sealed class ConfigurationState(TimeProvider time)
{
    private volatile ConfigurationOverview _overview = new(null, time.GetUtcNow(), 0, 0, 0, 0, 0, [], []);

    /// <summary>At a glance.</summary>
    public ConfigurationOverview Overview => _overview;

    /// <summary>States something else. One at a time.</summary>
    internal void Become(Func<ConfigurationOverview, ConfigurationOverview> change) => _overview = change(_overview);
}
