using System.Runtime.InteropServices;
using Microsoft.Win32.SafeHandles;

namespace Acquire.Simulator;

/// <summary>The few calls of the C library that make a pseudo terminal (POSIX.1-2017; cfmakeraw and ptsname_r are glibc and musl).</summary>
internal static class NativeTerminal
{
    // asm-generic/fcntl.h, valid for x86-64 and arm64
    public const int ReadWrite = 0x2, NoControllingTerminal = 0x100, NonBlocking = 0x800, CloseOnExec = 0x80000;

    // errno.h on Linux
    public const int Interrupted = 4, TryAgain = 11;

    [DllImport("libc", EntryPoint = "posix_openpt", SetLastError = true)]
    public static extern SafeFileHandle OpenMaster(int flags);

    [DllImport("libc", EntryPoint = "grantpt", SetLastError = true)]
    public static extern int Grant(SafeFileHandle master);

    [DllImport("libc", EntryPoint = "unlockpt", SetLastError = true)]
    public static extern int Unlock(SafeFileHandle master);

    [DllImport("libc", EntryPoint = "ptsname_r", SetLastError = true)]
    public static extern int SlaveName(SafeFileHandle master, byte[] buffer, nuint length);

    [DllImport("libc", EntryPoint = "open", SetLastError = true)]
    public static extern SafeFileHandle Open([MarshalAs(UnmanagedType.LPUTF8Str)] string path, int flags);

    [DllImport("libc", EntryPoint = "tcgetattr", SetLastError = true)]
    public static extern int GetSettings(SafeFileHandle terminal, byte[] settings);

    [DllImport("libc", EntryPoint = "tcsetattr", SetLastError = true)]
    public static extern int SetSettings(SafeFileHandle terminal, int when, byte[] settings);

    [DllImport("libc", EntryPoint = "cfmakeraw")]
    public static extern void MakeRaw(byte[] settings);

    [DllImport("libc", EntryPoint = "write", SetLastError = true)]
    public static extern nint Write(SafeFileHandle file, in byte first, nuint count);

    [DllImport("libc", EntryPoint = "read", SetLastError = true)]
    public static extern nint Read(SafeFileHandle file, ref byte first, nuint count);
}
