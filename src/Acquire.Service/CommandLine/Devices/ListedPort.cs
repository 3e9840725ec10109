using Acquire.Service.Configuration;
using Acquire.Service.Sources.Serial;

namespace Acquire.Service.CommandLine.Devices;

/// <summary>A port that is there, or that a tester names.</summary>
/// <param name="Name">As the system or the configuration names it.</param>
/// <param name="LastingNames">Names that stay with the adapter.</param>
/// <param name="Users">Testers that name it, by whatever name.</param>
internal sealed record ListedPort(string Name, IReadOnlyList<string> LastingNames, IReadOnlyList<TesterConfig> Users)
{
    /// <summary>Whether its device is there.</summary>
    public bool IsThere => PortDiagnosis.IsThere(Name);

    /// <summary>All ports: those that are there, then those that testers wait for.</summary>
    public static IReadOnlyList<ListedPort> All(IReadOnlyList<PresentPort> present, IReadOnlyList<TesterConfig> testers)
    {
        var used = testers.Where(tester => PortOf(tester) is not null).ToLookup(tester => PortList.Resolve(PortOf(tester)!), StringComparer.Ordinal);
        IEnumerable<ListedPort> there = present.Select(port => new ListedPort(port.Name, port.LastingNames, [.. used[port.Name]]));
        var others = used.Where(users => present.All(port => port.Name != users.Key)).Select(users => new ListedPort(PortOf(users.First())!, [], [.. users]));
        return [.. there, .. others];
    }

    /// <summary>The port that a tester names; null where it is read in another way.</summary>
    public static string? PortOf(TesterConfig tester) => tester.Source switch
    {
        SourceConfig.Serial serial => serial.Port,
        SourceConfig.Modbus { Wire: ModbusWire.Rtu rtu } => rtu.Settings.Port,
        _ => null,
    };
}
