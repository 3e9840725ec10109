using Acquire.Simulator;

namespace Acquire.Service.CommandLine;

/// <summary>The demonstration's serial line: a pair of pseudo-terminals where the system has them.</summary>
internal sealed class DemoWire : IDisposable
{
    private DemoWire(PseudoTerminal? terminal, string? refusal)
    {
        Terminal = terminal;
        Refusal = refusal;
    }

    /// <summary>The line; null where there is none.</summary>
    public PseudoTerminal? Terminal { get; }

    /// <summary>Why there is none; null where there is one.</summary>
    public string? Refusal { get; }

    public static DemoWire Open() => PseudoTerminal.TryOpen(out var terminal, out var reason) ? new(terminal, null) : new(null, reason);

    public void Dispose() => Terminal?.Dispose();
}
