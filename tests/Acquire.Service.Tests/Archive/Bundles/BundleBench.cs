using System.Security.Cryptography;
using Acquire.Service.Archive.Bundles;
using Acquire.Service.Archive.Chain;
using Acquire.Service.Archive.Corrections;
using Acquire.Service.Archive.Exports;
using Xunit;

namespace Acquire.Service.Tests.Archive.Bundles;

/// <summary>Two installations: runs are made here and imported there.</summary>
internal sealed class BundleBench : IDisposable
{
    public const string Run = "20260302T093015Z-bench-1-0a1b";

    public ArchiveBench Here { get; } = new();

    public ArchiveBench There { get; } = new();

    /// <summary>Puts a run into the archive here, corrected and approved where that is wanted.</summary>
    public async Task FillAsync(PlayedRun run, CancellationToken cancel, bool corrected = false, string id = Run)
    {
        await using var archive = Here.Open();
        await run.WriteAsync(archive, id, cancel);
        if (corrected)
        {
            var corrector = new RunCorrector(archive, new(["Ada"], ["Bea"]), TimeProvider.System, "0.1.0");
            Assert.Equal(AuditOutcome.Done, (await corrector.CorrectAsync(id, new(CorrectedField.StationPressure, null, 97.3, "read from the barometer's log", "Ada"), null, cancel)).Outcome);
            Assert.Equal(AuditOutcome.Done, (await corrector.CorrectAsync(id, new(CorrectedField.Remark, "=foamed, \"a little\"", null, "seen", "Ada"), null, cancel)).Outcome);
            Assert.Equal(AuditOutcome.Done, (await corrector.ApproveAsync(id, "Bea", cancel)).Outcome);
        }
    }

    /// <summary>The bundle of a run of an archive.</summary>
    public static byte[] Export(ArchiveBench from, bool witness = false, ECDsa? key = null, string id = Run)
    {
        var export = new ArchiveExport(from.Path);
        var bundle = export.Bundle(export.Find(id)!, new() { Witness = witness, Key = key }, ArchiveBench.Start, "0.1.0", out var fault);
        Assert.Null(fault);
        return bundle!;
    }

    /// <summary>A bundle that must be readable.</summary>
    public static RunBundle Read(byte[] file)
    {
        var bundle = RunBundle.TryRead(file, out var fault);
        Assert.Null(fault);
        return bundle!;
    }

    /// <summary>Imports into the archive there, by all the steps of the command.</summary>
    public static async Task<BundleTrial> ImportAsync(ArchiveBench into, byte[] file, CancellationToken cancel)
    {
        var bundle = Read(file);
        var trial = BundleTrial.Play(bundle, ArchiveBench.Start, out var fault);
        Assert.Null(fault);
        await using var archive = into.Open();
        await archive.ImportAsync(bundle, RunImport.Of(bundle, ArchiveBench.Start, "Cleo", "second opinion", "0.1.0", trial!.Repeats, null), cancel);
        return trial;
    }

    /// <summary>The archive is as it was written.</summary>
    public static void AssertSound(ArchiveBench archive) => Assert.Empty(ArchiveVerifier.Verify(archive.Path).Faults);

    public void Dispose()
    {
        Here.Dispose();
        There.Dispose();
    }
}
