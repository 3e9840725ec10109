using System.Runtime.InteropServices;
using Microsoft.Win32.SafeHandles;

namespace Acquire.Simulator;

/// <summary>Writes to a non-blocking terminal and asks again while it is full: a blocking write could not be cancelled.</summary>
internal sealed class PseudoTerminalStream(SafeFileHandle master, TimeProvider time) : Stream
{
    private static readonly TimeSpan Pause = TimeSpan.FromMilliseconds(5);

    public override bool CanRead => false;

    public override bool CanSeek => false;

    public override bool CanWrite => true;

    public override long Length => throw new NotSupportedException();

    public override long Position
    {
        get => throw new NotSupportedException();
        set => throw new NotSupportedException();
    }

    public override async ValueTask WriteAsync(ReadOnlyMemory<byte> buffer, CancellationToken cancellationToken = default)
    {
        while (!buffer.IsEmpty)
        {
            cancellationToken.ThrowIfCancellationRequested();
            var written = NativeTerminal.Write(master, in MemoryMarshal.GetReference(buffer.Span), (nuint)buffer.Length);
            if (written > 0)
            {
                buffer = buffer[(int)written..];
            }
            else if (written < 0 && Marshal.GetLastPInvokeError() is not (NativeTerminal.TryAgain or NativeTerminal.Interrupted))
            {
                throw new IOException(Marshal.GetLastPInvokeErrorMessage());
            }
            else
            {
                await Task.Delay(Pause, time, cancellationToken);
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

    public override int Read(byte[] buffer, int offset, int count) => throw new NotSupportedException();

    public override long Seek(long offset, SeekOrigin origin) => throw new NotSupportedException();

    public override void SetLength(long value) => throw new NotSupportedException();
}
