using System.Net.Sockets;
using System.Security.Authentication;
using Acquire.Service.Configuration;
using MQTTnet;

namespace Acquire.Service.Sources.Mqtt;

/// <summary>Says in words why a broker cannot be reached or was lost, and what to do.</summary>
public static class BrokerDiagnosis
{
    /// <summary>Why the broker refused the connection.</summary>
    public static string ExplainRefusal(BrokerAddress broker, MqttClientConnectResultCode code) => code switch
    {
        MqttClientConnectResultCode.BadUserNameOrPassword or MqttClientConnectResultCode.NotAuthorized =>
            $"{broker} refused the user: check user and password in mqtt.connection",
        MqttClientConnectResultCode.UnsupportedProtocolVersion => $"{broker} does not speak MQTT 5: use a broker that does",
        MqttClientConnectResultCode.ClientIdentifierNotValid => $"{broker} refused the client id: give another clientId in mqtt.connection",
        _ => $"{broker} refused the connection ({code})",
    };

    /// <summary>Why the broker could not be reached.</summary>
    public static string ExplainFailure(BrokerAddress broker, Exception exception)
    {
        ArgumentNullException.ThrowIfNull(broker);
        for (var inner = exception; inner is not null; inner = inner.InnerException)
        {
            switch (inner)
            {
                case SocketException { SocketErrorCode: SocketError.ConnectionRefused }:
                    return $"nothing listens at {broker}: start the broker";
                case SocketException { SocketErrorCode: SocketError.HostNotFound or SocketError.TryAgain or SocketError.NoData }:
                    return $"the host of {broker} is not known: check its name in mqtt.connection";
                case SocketException { SocketErrorCode: SocketError.TimedOut or SocketError.HostUnreachable or SocketError.NetworkUnreachable }:
                case OperationCanceledException:
                    return $"{broker} does not answer: check the network and the broker";
                case AuthenticationException:
                    return $"the certificate of {broker} is not trusted: {inner.Message}";
                default:
                    break;
            }
        }

        // What asks for a client certificate says so only after the handshake, by hanging up.
        return broker.Tls && broker.Certificates?.Client is null
            ? $"{broker} ended the TLS connection at once: check that its port speaks TLS, and give mqtt.tls.certificateFile if it asks for a client certificate ({exception?.Message})"
            : $"{broker} cannot be reached: {exception?.Message}";
    }

    /// <summary>Why an open connection was lost.</summary>
    public static string ExplainLoss(BrokerAddress broker, MqttClientDisconnectReason reason)
    {
        ArgumentNullException.ThrowIfNull(broker);
        return reason switch
        {
            MqttClientDisconnectReason.SessionTakenOver =>
                $"another program connected to {broker} with the client id '{broker.ClientId}': give each its own clientId in mqtt.connection",

            // Some brokers throw out the older of two clients with the same id without saying why.
            MqttClientDisconnectReason.NormalDisconnection =>
                $"{broker} closed the connection. If this comes again and again, another program may use the client id '{broker.ClientId}': give each its own clientId in mqtt.connection",
            _ => $"the connection to {broker} was lost ({reason})",
        };
    }
}
