using System.CommandLine;
using Acquire.Service.CommandLine.Devices;

namespace Acquire.Service.CommandLine;

/// <summary>`acquire devices`: what is on the serial ports, before and beside the service.</summary>
internal static class DevicesCommand
{
    public static Command Build() => new("devices", "Look at serial ports: which there are, what speaks on them, and how it is decoded; keep and replay what a wire said.")
    {
        new ListDevices().ToCommand(),
        new WatchDevice().ToCommand(),
        new RecordDevice().ToCommand(),
        new PlayDevice().ToCommand(),
    };
}
