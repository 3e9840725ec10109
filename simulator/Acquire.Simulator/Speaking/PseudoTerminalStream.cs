using System.Runtime.InteropServices;
using Microsoft.Win32.SafeHandles;

namespace Acquire.Simulator;

/// <summary>Reads and writes a non-blocking terminal and asks again while it is empty or full: a blocking call could not be cancelled.</summary>
internal sealed class PseudoTerminalStream(SafeFileHandle master, TimeProvider time) : Stream
{
    private static readonly TimeSpan Pause = TimeSpan.FromMilliseconds(5);

    public override bool CanRead => true;

    public override bool CanSeek => false;

    public override bool CanWrite => true;

    public override long Length => throw new NotSupportedException();

    public override long Position
    {
        get => throw new NotSupportedException();
        set => throw new NotSupportedException();
    }

    public override async ValueTask<int> ReadAsync(Memory<byte> buffer, CancellationToken cancellationToken = default)
    {
        while (!buffer.IsEmpty)
        {
            var read = NativeTerminal.Read(master, ref MemoryMarshal.GetReference(buffer.Span), (nuint)buffer.Length);
            if (read > 0)
            {
                return (int)read;
            }

            await WaitAsync(read, cancellationToken);
        }

        return 0;
    }

    public override Task<int> ReadAsync(byte[] buffer, int offset, int count, CancellationToken cancellationToken) =>
        ReadAsync(buffer.AsMemory(offset, count), cancellationToken).AsTask();

    public override async ValueTask WriteAsync(ReadOnlyMemory<byte> buffer, CancellationToken cancellationToken = default)
    {
        while (!buffer.IsEmpty)
        {
            var written = NativeTerminal.Write(master, in MemoryMarshal.GetReference(buffer.Span), (nuint)buffer.Length);
            if (written > 0)
            {
                buffer = buffer[(int)written..];
            }
            else
            {
                await WaitAsync(written, cancellationToken);
            }
        }
    }

    public override Task WriteAsync(byte[] buffer, int offset, int count, CancellationToken cancellationToken) =>
        WriteAsync(buffer.AsMemory(offset, count), cancellationToken).AsTask();

    public override void Flush()
    {
        // Nothing is held back.
    }

    public override void Write(byte[] buffer, int offset, int count) => throw new NotSupportedException("the terminal is written asynchronously");

    public override int Read(byte[] buffer, int offset, int count) => throw new NotSupportedException("the terminal is read asynchronously");

    public override long Seek(long offset, SeekOrigin origin) => throw new NotSupportedException();

    public override void SetLength(long value) => throw new NotSupportedException();

    private Task WaitAsync(nint result, CancellationToken cancellationToken) =>
        result < 0 && Marshal.GetLastPInvokeError() is not (NativeTerminal.TryAgain or NativeTerminal.Interrupted)
            ? throw new IOException(Marshal.GetLastPInvokeErrorMessage())
            : Task.Delay(Pause, time, cancellationToken);
}
