using System.CommandLine;
using Acquire.Service.CommandLine.Archiving;

namespace Acquire.Service.CommandLine;

/// <summary>`acquire archive`: proves that the record is as it was written, gives runs out and takes them in.</summary>
internal static class ArchiveCommand
{
    public static Command Build() => new("archive", "Prove that the record is as it was written, give runs out and take them in, see docs/archive.md.")
    {
        VerifyCommand.Build(),
        HeadCommand.Build(),
        KeyCommand.Build(),
        ExportCommand.Build(),
        ImportCommand.Build(),
    };
}
