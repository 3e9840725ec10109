using Acquire.Core;
using Acquire.Service.Sources.Mqtt;

namespace Acquire.Service.Configuration;

/// <summary>Finds the certificates that `acquire.json` names, and sees whether they can be read.</summary>
internal static class MqttFiles
{
    /// <summary>The configuration with full paths.</summary>
    /// <param name="mqtt">As it was read.</param>
    /// <param name="folder">Folder of the file; relative paths start there.</param>
    public static MqttConfig Resolve(MqttConfig mqtt, string folder) => mqtt switch
    {
        MqttConfig.Embedded { Tls: { } tls } embedded => embedded with { Tls = In(folder, tls) },
        MqttConfig.External { Connection: { Certificates: { } tls } broker } => new MqttConfig.External(broker with
        {
            Certificates = tls with { CaFile = tls.CaFile is null ? null : Path.Combine(folder, tls.CaFile), Client = tls.Client is null ? null : In(folder, tls.Client) },
        }),
        _ => mqtt,
    };

    /// <summary>What is wrong with the files; empty where nothing is.</summary>
    public static IReadOnlyList<InputError> Check(MqttConfig mqtt)
    {
        string? mistake = null;
        switch (mqtt)
        {
            case MqttConfig.Embedded embedded:
                BrokerEndpoint.TryOptions(embedded, out _, out var certificates, out mistake);
                foreach (var certificate in certificates)
                {
                    certificate.Dispose();
                }

                break;
            case MqttConfig.External external:
                BrokerIdentity.TryRead(external.Connection, TimeProvider.System, out var identity, out mistake);
                identity?.Dispose();
                break;
            default:
                break;
        }

        return mistake?.Split(": ", 2) is [var path, var text] ? [new(path, text)] : [];
    }

    private static CertificateFiles In(string folder, CertificateFiles files) => new(Path.Combine(folder, files.CertificateFile), Path.Combine(folder, files.KeyFile));
}
