using System.CommandLine;
using Acquire.Service.CommandLine.Archiving;

namespace Acquire.Service.CommandLine;

/// <summary>`acquire archive`: proves that the record is as it was written, gives runs out and takes them in, copies it, and keeps it within bounds.</summary>
internal static class ArchiveCommand
{
    public static Command Build() => new("archive", "Prove that the record is as it was written, give runs out and take them in, copy it, keep it within bounds; see docs/archive.md.")
    {
        VerifyCommand.Build(),
        HeadCommand.Build(),
        KeyCommand.Build(),
        AuditCommand.Build(),
        BackupCommand.Build(),
        RestoreCommand.Build(),
        HoldCommand.BuildHold(),
        HoldCommand.BuildRelease(),
        PruneCommand.Build(),
        ExportCommand.Build(),
        ImportCommand.Build(),
    };
}
