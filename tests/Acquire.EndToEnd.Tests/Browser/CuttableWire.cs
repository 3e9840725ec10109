using System.Collections.Concurrent;
using System.Globalization;
using System.Net;
using System.Net.Sockets;

namespace Acquire.EndToEnd.Tests.Browser;

/// <summary>A network between browser and service that can be cut: every connection goes through here.</summary>
internal sealed class CuttableWire : IAsyncDisposable
{
    private readonly TcpListener _listener = new(IPAddress.Loopback, 0);
    private readonly CancellationTokenSource _ending = new();
    private readonly ConcurrentDictionary<TcpClient, bool> _open = new();
    private readonly Task _loop;
    private volatile int _servicePort;
    private volatile bool _cut;

    /// <param name="service">Where the service listens.</param>
    public CuttableWire(Uri service)
    {
        _servicePort = service.Port;
        _listener.Start();
        Address = new Uri(string.Create(CultureInfo.InvariantCulture, $"http://127.0.0.1:{((IPEndPoint)_listener.LocalEndpoint).Port}/"));
        _loop = AcceptAsync();
    }

    /// <summary>Address of the page behind this wire.</summary>
    public Uri Address { get; }

    /// <summary>Breaks every connection and lets none through.</summary>
    public void Cut()
    {
        _cut = true;
        foreach (var client in _open.Keys)
        {
            client.Dispose();
        }
    }

    /// <summary>Lets connections through again.</summary>
    public void Mend() => _cut = false;

    /// <summary>Lets connections through again, to a service that was started anew elsewhere.</summary>
    public void MendTo(Uri service)
    {
        _servicePort = service.Port;
        Mend();
    }

    /// <inheritdoc/>
    public async ValueTask DisposeAsync()
    {
        await _ending.CancelAsync();
        Cut();
        await _loop;
        _listener.Dispose();
        _ending.Dispose();
    }

    private async Task AcceptAsync()
    {
        var carried = new List<Task>();
        try
        {
            while (true)
            {
                carried.Add(CarryAsync(await _listener.AcceptTcpClientAsync(_ending.Token)));
            }
        }
        catch (OperationCanceledException)
        {
            await Task.WhenAll(carried);
        }
    }

    private async Task CarryAsync(TcpClient browser)
    {
        using var service = new TcpClient();
        (_open[browser], _open[service]) = (true, true);
        try
        {
            if (!_cut)
            {
                await service.ConnectAsync(IPAddress.Loopback, _servicePort, _ending.Token);
                var there = browser.GetStream().CopyToAsync(service.GetStream(), _ending.Token);
                var back = service.GetStream().CopyToAsync(browser.GetStream(), _ending.Token);
                await await Task.WhenAny(there, back);
            }
        }
        catch (Exception exception) when (exception is IOException or SocketException or InvalidOperationException or OperationCanceledException)
        {
            // Cut, or one side hung up.
        }
        finally
        {
            _open.TryRemove(browser, out _);
            _open.TryRemove(service, out _);
            browser.Dispose();
        }
    }
}
