using System.Net.Security;
using Acquire.Service.Configuration;
using InfluxDB.Client;
using InfluxDB.Client.Api.Domain;
using InfluxDB.Client.Core.Flux.Domain;

namespace Acquire.Service.Archive.Influx.Sending;

/// <summary>One endpoint of version 2 of the write interface. A request is one request: it is never repeated here, and how it ended is a value.</summary>
internal sealed class InfluxEndpoint : IDisposable
{
    private readonly InfluxConfig _influx;
    private readonly TimeProvider _time;
    private readonly ServerTrust _trust;
    private readonly AnswerEar _ear;
    private readonly HttpClient _http;
    private readonly InfluxDBClient _client;
    private readonly WriteApiAsync _writer;

    private InfluxEndpoint(InfluxConfig influx, string? token, TimeProvider time, Func<HttpMessageHandler, HttpMessageHandler>? around)
    {
        (_influx, _time, _trust) = (influx, time, new(influx, time));
        HttpMessageHandler handler = new SocketsHttpHandler
        {
            AllowAutoRedirect = false,
            UseCookies = false,
            MaxResponseHeadersLength = 32,
            ConnectTimeout = TimeSpan.FromSeconds(influx.TimeoutSeconds),

            // A name that was given to another machine is looked up again.
            PooledConnectionLifetime = TimeSpan.FromMinutes(5),
            SslOptions = new SslClientAuthenticationOptions { RemoteCertificateValidationCallback = (_, shown, sent, errors) => _trust.Accepts(shown, sent, errors) },
        };
        _ear = new(time, token, around?.Invoke(handler) ?? handler);
        _http = new(_ear) { Timeout = Timeout.InfiniteTimeSpan };
        var options = new InfluxDBClientOptions(influx.Url.AbsoluteUri) { Org = influx.Org, Bucket = influx.Bucket, HttpClient = _http, Timeout = TimeSpan.FromHours(1) };
        _client = new(options);
        _writer = _client.GetWriteApiAsync();
    }

    /// <summary>Opens an endpoint; nothing is sent yet.</summary>
    /// <param name="influx">Which one.</param>
    /// <param name="time">Clock.</param>
    /// <param name="around">Puts another handler round the one that sends; null for none.</param>
    /// <param name="mistake">Why it cannot be opened; null where it was.</param>
    public static InfluxEndpoint? Open(InfluxConfig influx, TimeProvider time, Func<HttpMessageHandler, HttpMessageHandler>? around, out string? mistake)
    {
        var token = InfluxFiles.ReadToken(influx, out mistake);
        return mistake is null ? new(influx, token, time, around) : null;
    }

    /// <summary>Writes lines in one request. Cancelling throws; everything else is an answer.</summary>
    public async Task<WriteAnswer> WriteAsync(string lines, CancellationToken cancellationToken)
    {
        Forget();
        using var timeout = new CancellationTokenSource(TimeSpan.FromSeconds(_influx.TimeoutSeconds), _time);
        using var either = CancellationTokenSource.CreateLinkedTokenSource(timeout.Token, cancellationToken);
        Exception? thrown = null;
        try
        {
            await _writer.WriteRecordAsync(lines, WritePrecision.Ns, _influx.Bucket, _influx.Org, either.Token).ConfigureAwait(false);
        }
#pragma warning disable CA1031 // The client throws many kinds, some of them for answers that are sound. What was heard decides.
        catch (Exception exception)
#pragma warning restore CA1031
        {
            thrown = exception;
        }

        cancellationToken.ThrowIfCancellationRequested();
        return _ear.Heard is { } heard ? InfluxDiagnosis.Of(_influx, heard)
            : InfluxDiagnosis.Of(_influx, thrown ?? new HttpRequestException("no answer was heard"), timeout.IsCancellationRequested ? null : _trust.Refusal);
    }

    /// <summary>Asks a query in Flux. The tables, or why there are none.</summary>
    public async Task<(IReadOnlyList<FluxTable>? Tables, WriteAnswer? Trouble)> QueryAsync(string flux, CancellationToken cancellationToken)
    {
        Forget();
        try
        {
            return (await _client.GetQueryApi().QueryAsync(flux, _influx.Org, cancellationToken).ConfigureAwait(false), null);
        }
#pragma warning disable CA1031 // as above
        catch (Exception exception)
#pragma warning restore CA1031
        {
            cancellationToken.ThrowIfCancellationRequested();
            return (null, _ear.Heard is { } heard ? InfluxDiagnosis.Of(_influx, heard) : InfluxDiagnosis.Of(_influx, exception, _trust.Refusal));
        }
    }

    /// <summary>Asks a query in InfluxQL, as version 1 understands it, of the database with the bucket's name. The answer, or why there is none.</summary>
    public async Task<(string? Json, WriteAnswer? Trouble)> AskAsync(string influxQl, CancellationToken cancellationToken)
    {
        Forget();
        var address = new Uri(_influx.Url, $"query?db={Uri.EscapeDataString(_influx.Bucket)}&epoch=ns&q={Uri.EscapeDataString(influxQl)}");
        try
        {
            using var answer = await _http.GetAsync(address, HttpCompletionOption.ResponseHeadersRead, cancellationToken).ConfigureAwait(false);
            return answer.IsSuccessStatusCode
                ? (await answer.Content.ReadAsStringAsync(cancellationToken).ConfigureAwait(false), null)
                : (null, InfluxDiagnosis.Of(_influx, _ear.Heard!));
        }
        catch (Exception exception) when (exception is HttpRequestException or IOException)
        {
            return (null, InfluxDiagnosis.Of(_influx, exception, _trust.Refusal));
        }
    }

    private void Forget()
    {
        _ear.Forget();
        _trust.Forget();
    }

    public void Dispose()
    {
        _client.Dispose();
        _http.Dispose();
    }
}
