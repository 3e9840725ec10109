using System.Diagnostics.CodeAnalysis;
using System.Runtime.InteropServices;
using Microsoft.Win32.SafeHandles;

namespace Acquire.Simulator;

/// <summary>A serial line without hardware: a listener opens <see cref="SlavePath"/> as its port, the simulated tester writes at the other end. Linux only.</summary>
/// <remarks>This process keeps the listener's end open too, so that rows wait in the line while no listener has it open, and raw mode is not lost.</remarks>
public sealed class PseudoTerminal : IDisposable
{
    private readonly SafeFileHandle master;
    private readonly SafeFileHandle heldSlave;

    private PseudoTerminal(SafeFileHandle master, SafeFileHandle heldSlave, string slavePath)
    {
        this.master = master;
        this.heldSlave = heldSlave;
        SlavePath = slavePath;
    }

    /// <summary>The port to open for listening, such as /dev/pts/4.</summary>
    public string SlavePath { get; }

    /// <summary>Opens a pair. False, with the reason in words, where the system has none to give.</summary>
    public static bool TryOpen([NotNullWhen(true)] out PseudoTerminal? terminal, [NotNullWhen(false)] out string? reason)
    {
        terminal = null;
        if (!OperatingSystem.IsLinux())
        {
            reason = "a pseudo terminal is only available on Linux";
            return false;
        }

        var master = NativeTerminal.OpenMaster(NativeTerminal.ReadWrite | NativeTerminal.NoControllingTerminal | NativeTerminal.NonBlocking | NativeTerminal.CloseOnExec);
        var path = new byte[256];
        if (master.IsInvalid || NativeTerminal.Grant(master) != 0 || NativeTerminal.Unlock(master) != 0 || NativeTerminal.SlaveName(master, path, (nuint)path.Length) != 0)
        {
            reason = $"no pseudo terminal: {Marshal.GetLastPInvokeErrorMessage()}";
            master.Dispose();
            return false;
        }

        var slavePath = System.Text.Encoding.UTF8.GetString(path, 0, Array.IndexOf(path, (byte)0));
        var slave = NativeTerminal.Open(slavePath, NativeTerminal.ReadWrite | NativeTerminal.NoControllingTerminal | NativeTerminal.CloseOnExec);
        if (slave.IsInvalid || !MakeRaw(slave))
        {
            reason = $"pseudo terminal {slavePath}: {Marshal.GetLastPInvokeErrorMessage()}";
            slave.Dispose();
            master.Dispose();
            return false;
        }

        reason = null;
        terminal = new(master, slave, slavePath);
        return true;
    }

    /// <summary>The tester's end: writing waits while the line is full, reading waits for what a listener sends; only the asynchronous calls work. Closing it leaves the pair open.</summary>
    public Stream OpenTesterEnd(TimeProvider time) => new PseudoTerminalStream(master, time);

    /// <summary>Ends the line; a listener sees it as unplugged.</summary>
    public void Dispose()
    {
        heldSlave.Dispose();
        master.Dispose();
    }

    /// <summary>No echo, no line editing, no translation of line ends.</summary>
    private static bool MakeRaw(SafeFileHandle slave)
    {
        // struct termios is 60 bytes on Linux; nothing here looks inside it.
        var settings = new byte[256];
        if (NativeTerminal.GetSettings(slave, settings) != 0)
        {
            return false;
        }

        NativeTerminal.MakeRaw(settings);
        return NativeTerminal.SetSettings(slave, 0, settings) == 0;
    }
}
