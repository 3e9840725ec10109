using System.Diagnostics;
using System.Globalization;
using System.Net.Sockets;
using System.Text.Json;
using Acquire.Service.Tests.Sources;
using Acquire.Service.Tests.Sources.Mqtt;
using Acquire.Service.Tests.Sources.Serial;
using Xunit;

namespace Acquire.Service.Tests.Archive.Influx;

/// <summary>A real database server in a process of its own, on free loopback ports, with its files in a folder of the test.</summary>
internal sealed class DatabaseServer : IDisposable
{
    private readonly string _folder = TestFolders.Make("acquire-database-");
    private readonly string _program;
    private readonly string[] _arguments;
    private readonly HttpClient _client;
    private Process? _process;

    private DatabaseServer(string program, Func<DatabaseServer, string[]> arguments)
    {
        Assert.SkipUnless(PtyPair.OnPath(program) is not null, $"{program} is not installed: without it there is no server of another make to write to");
        Port = Mosquitto.FreePort();
        (_program, _arguments) = (PtyPair.OnPath(program)!, arguments(this));
        _client = new() { BaseAddress = Url, Timeout = TimeSpan.FromSeconds(60) };
    }

    public int Port { get; }

    public Uri Url => new(string.Create(CultureInfo.InvariantCulture, $"http://127.0.0.1:{Port}/"));

    /// <summary>InfluxDB 1.6.7, as Debian has it: it knows no version 2 of the interface, see <see cref="VersionOneHandler"/>.</summary>
    public static DatabaseServer Influx() => new("influxd", server =>
    {
        var file = Path.Combine(server._folder, "influx.conf");
        File.WriteAllText(file, string.Create(CultureInfo.InvariantCulture, $"""
            reporting-disabled = true
            bind-address = "127.0.0.1:{Mosquitto.FreePort()}"
            [meta]
              dir = "{server._folder}/meta"
            [data]
              dir = "{server._folder}/data"
              wal-dir = "{server._folder}/wal"
            [monitor]
              store-enabled = false
            [http]
              enabled = true
              bind-address = "127.0.0.1:{server.Port}"
              log-enabled = false
            """));
        return ["run", "-config", file];
    });

    /// <summary>VictoriaMetrics, as Debian has it: it takes version 2 of the interface as it is, keeps milliseconds, and rounds values.</summary>
    public static DatabaseServer Victoria() => new("victoria-metrics", server =>
    [
        $"-storageDataPath={server._folder}",
        string.Create(CultureInfo.InvariantCulture, $"-httpListenAddr=127.0.0.1:{server.Port}"),
        "-retentionPeriod=100y", "-search.latencyOffset=0s", "-dedup.minScrapeInterval=1ms", "-loggerLevel=ERROR",
    ]);

    /// <summary>Starts the server and waits until it answers.</summary>
    public async Task StartAsync(CancellationToken cancellationToken)
    {
        var start = new ProcessStartInfo(_program, _arguments) { RedirectStandardError = true, RedirectStandardOutput = true };
        _process = Process.Start(start)!;
        _process.OutputDataReceived += (_, _) => { };
        _process.ErrorDataReceived += (_, _) => { };
        _process.BeginOutputReadLine();
        _process.BeginErrorReadLine();
        while (!Listens())
        {
            Assert.False(_process.HasExited, $"{_program} has ended by itself");
            await SourceSamples.Pause(0.05, cancellationToken);
        }
    }

    /// <summary>Ends the server at once, as a power cut does.</summary>
    public void Kill()
    {
        if (_process is { } process)
        {
            process.Kill();
            process.WaitForExit();
            process.Dispose();
            _process = null;
        }
    }

    /// <summary>Asks InfluxDB 1 in InfluxQL; the series of the only statement.</summary>
    public async Task<JsonElement[]> AskAsync(string influxQl, CancellationToken cancellationToken)
    {
        using var body = new FormUrlEncodedContent([new("q", influxQl), new("db", "oils"), new("epoch", "ns")]);
        using var answer = await _client.PostAsync(new Uri("query", UriKind.Relative), body, cancellationToken);
        using var json = JsonDocument.Parse(await answer.Content.ReadAsStringAsync(cancellationToken));
        var result = json.RootElement.GetProperty("results")[0];
        Assert.False(result.TryGetProperty("error", out var error), error.ToString());
        return result.TryGetProperty("series", out var series) ? [.. series.Clone().EnumerateArray()] : [];
    }

    /// <summary>The text at a path.</summary>
    public Task<string> GetAsync(string path, CancellationToken cancellationToken) => _client.GetStringAsync(new Uri(path, UriKind.Relative), cancellationToken);

    public void Dispose()
    {
        Kill();
        _client.Dispose();
        Directory.Delete(_folder, recursive: true);
    }

    private bool Listens()
    {
        try
        {
            using var probe = new TcpClient("127.0.0.1", Port);
            return true;
        }
        catch (SocketException)
        {
            return false;
        }
    }
}
