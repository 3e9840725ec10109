namespace Acquire.Simulator;

/// <summary>A run with a story: to train technicians with, and to try a set-up with whose outcome is known.</summary>
public sealed record Situation
{
    /// <summary>Its name on a command line.</summary>
    public required string Name { get; init; }

    /// <summary>What happens, in a few words.</summary>
    public required string Happens { get; init; }

    /// <summary>What a technician sees: at the cup, and on the page.</summary>
    public required string See { get; init; }

    /// <summary>What a technician does.</summary>
    public required string Do { get; init; }

    /// <summary>What is dangerous about it at a real cup; null where no more than at any hot cup.</summary>
    public string? Caution { get; init; }

    /// <summary>What Acquire should conclude.</summary>
    public required ExpectedConclusion Expected { get; init; }

    /// <summary>Makes the run without its seed.</summary>
    public required Func<SimulatorOptions> Make { get; init; }

    /// <summary>The run of a seed.</summary>
    /// <param name="seed">Picks one of 2^64 runs.</param>
    public SimulatorOptions Options(ulong seed) => Make() with { Seed = seed, Situation = Name };
}
