using System.CommandLine;
using Acquire.Service.CommandLine.Archiving;

namespace Acquire.Service.CommandLine;

/// <summary>`acquire archive`: proves that the record is as it was written.</summary>
internal static class ArchiveCommand
{
    public static Command Build() => new("archive", "Prove that the record is as it was written, see docs/archive.md.")
    {
        VerifyCommand.Build(),
        HeadCommand.Build(),
        KeyCommand.Build(),
    };
}
