namespace Acquire.EndToEnd.Tests.Rig;

/// <summary>A serial line that nobody listens to: what is said on it meanwhile is lost, as at a port that is not open. Without it a pseudo terminal would end, or hold the speaker back.</summary>
internal sealed class UnreadLine : IDisposable
{
    private readonly FileStream _port;
    private volatile bool _lost;

    /// <param name="port">The end that the service reads while it lives; nothing is taken from it yet.</param>
    public UnreadLine(string port) => _port = new(port, FileMode.Open, FileAccess.Read, FileShare.ReadWrite, bufferSize: 0);

    /// <summary>Loses what is said until the task is awaited that comes back.</summary>
    /// <returns>Ends it; how many bytes were lost.</returns>
    public Func<Task<long>> Lose()
    {
        _lost = true;
        var losing = Task.Run(() =>
        {
            var (buffer, bytes) = (new byte[4096], 0L);
            while (_lost)
            {
                bytes += _port.Read(buffer);
            }

            return bytes;
        });
        return () =>
        {
            _lost = false;
            return losing;
        };
    }

    /// <inheritdoc/>
    public void Dispose() => _port.Dispose();
}
