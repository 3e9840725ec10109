using System.Collections.Concurrent;
using System.Net;
using System.Net.Sockets;

namespace Acquire.Service.Tests.Sources.Mqtt;

/// <summary>A network between a client and a server on loopback, with faults to order: it passes bytes on late, holds them back, loses them, or cuts.</summary>
internal sealed class FaultyNetwork : IAsyncDisposable
{
    private readonly TcpListener _listener = new(IPAddress.Loopback, 0);
    private readonly CancellationTokenSource _stop = new();
    private readonly ConcurrentDictionary<TcpClient, byte> _open = new();
    private readonly int _serverPort;
    private readonly Task _accepting;
    private volatile bool _holds;
    private volatile bool _cuts;
    private volatile int _delayMilliseconds;
    private volatile TaskCompletionSource _free = Done();
    private int _connections;

    /// <param name="serverPort">Where the server listens.</param>
    public FaultyNetwork(int serverPort)
    {
        _serverPort = serverPort;
        _listener.Start();
        _accepting = AcceptAsync();
    }

    /// <summary>Where clients connect.</summary>
    public int Port => ((IPEndPoint)_listener.LocalEndpoint).Port;

    /// <summary>How many connections were made through it.</summary>
    public int Connections => Volatile.Read(ref _connections);

    /// <summary>Each piece of bytes is passed on so much later, each way.</summary>
    public void Delay(int milliseconds) => _delayMilliseconds = milliseconds;

    /// <summary>Nothing passes, and nobody is told: connections look open, new ones too.</summary>
    public void Hold()
    {
        _free = new(TaskCreationOptions.RunContinuationsAsynchronously);
        _holds = true;
    }

    /// <summary>What was held passes on, and all after it.</summary>
    public void Release()
    {
        _holds = false;
        _cuts = false;
        _free.TrySetResult();
    }

    /// <summary>Connections that are open stay half open for ever: what is held for them is lost. New ones work.</summary>
    public void ForgetAndRelease()
    {
        _open.Clear();
        _holds = false;
        _free = new(TaskCreationOptions.RunContinuationsAsynchronously);
    }

    /// <summary>Ends every connection, and every new one at once.</summary>
    public void Cut()
    {
        _cuts = true;
        foreach (var client in _open.Keys)
        {
            client.Close();
        }
    }

    public async ValueTask DisposeAsync()
    {
        await _stop.CancelAsync();
        _free.TrySetResult();
        _listener.Stop();
        Cut();
        await _accepting;
        _stop.Dispose();
    }

    private static TaskCompletionSource Done()
    {
        var done = new TaskCompletionSource();
        done.SetResult();
        return done;
    }

    private async Task AcceptAsync()
    {
        var running = new List<Task>();
        try
        {
            while (!_stop.IsCancellationRequested)
            {
                var client = await _listener.AcceptTcpClientAsync(_stop.Token);
                Interlocked.Increment(ref _connections);
                if (_cuts)
                {
                    client.Close();
                    continue;
                }

                running.Add(JoinAsync(client));
            }
        }
        catch (Exception exception) when (exception is OperationCanceledException or SocketException or ObjectDisposedException)
        {
            // The test is over.
        }

        await Task.WhenAll(running).WaitAsync(TimeSpan.FromSeconds(5), TimeProvider.System, CancellationToken.None).ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing);
    }

    private async Task JoinAsync(TcpClient client)
    {
        using var near = client;
        using var far = new TcpClient { NoDelay = true };
        near.NoDelay = true;
        (_open[near], _open[far]) = (0, 0);
        try
        {
            await far.ConnectAsync(IPAddress.Loopback, _serverPort, _stop.Token);
            await Task.WhenAny(PassAsync(near, far), PassAsync(far, near));
        }
        catch (Exception exception) when (exception is OperationCanceledException or SocketException)
        {
            // The server is not there: the client sees its connection end.
        }

        _open.TryRemove(near, out _);
        _open.TryRemove(far, out _);
    }

    private async Task PassAsync(TcpClient from, TcpClient to)
    {
        var buffer = new byte[65_536];
        try
        {
            for (int read; (read = await from.GetStream().ReadAsync(buffer, _stop.Token)) > 0;)
            {
                if (_delayMilliseconds > 0)
                {
                    await Task.Delay(TimeSpan.FromMilliseconds(_delayMilliseconds), TimeProvider.System, _stop.Token);
                }

                if (_holds || !_open.ContainsKey(from))
                {
                    await _free.Task.WaitAsync(_stop.Token);
                }

                await to.GetStream().WriteAsync(buffer.AsMemory(0, read), _stop.Token);
            }
        }
        catch (Exception exception) when (exception is OperationCanceledException or IOException or ObjectDisposedException or InvalidOperationException)
        {
            // One end is gone; the other is ended with it.
        }
    }
}
