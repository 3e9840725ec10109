using System.Text;
using Acquire.Core;
using Acquire.Core.Runs;
using Acquire.Service.Archive.Bundles;
using Acquire.Service.Archive.Chain;
using Acquire.Service.Archive.Database;
using Acquire.Service.Configuration;
using Acquire.Service.Live;

namespace Acquire.Service.Archive.Exports;

/// <summary>Gives runs out of an archive; reads only, and the service may write meanwhile.</summary>
internal sealed class ArchiveExport
{
    private readonly string _path;
    private readonly ArchiveReader _reader;

    /// <summary>Opens an archive to read it.</summary>
    /// <exception cref="ArchiveRefusedException">It is not there, is no archive, or is of an older version.</exception>
    public ArchiveExport(string path)
    {
        using var connection = ChainFile.Open(path);
        if (ArchiveSchema.VersionOf(connection) is < ArchiveSchema.Version and var version)
        {
            throw new ArchiveRefusedException($"The archive {path} has content of version {version}. The service takes it over into version {ArchiveSchema.Version} when it is next started; then its runs can be given out.");
        }

        (_path, _reader) = (path, new ArchiveReader(path));
    }

    /// <summary>Runs, oldest first, and when they began; null where that cannot be read. What is damaged in one is told when it is given out.</summary>
    public IReadOnlyList<(string Id, DateTimeOffset? StartedAt)> Runs(string? tester) => _reader.Begun(tester);

    /// <summary>Whether there is a run.</summary>
    public bool Has(string id) => _reader.FindExtent(id) is not null;

    /// <summary>A run; null where there is none.</summary>
    public RunDetail? Find(string id) => _reader.Find(id);

    /// <summary>Where a run's record comes from.</summary>
    public RunProvenance ProvenanceOf(string id) => _reader.Provenance(id)!;

    /// <summary>The readings as a trace with what replay needs beside it, and the facts.</summary>
    public async Task<InputError?> CsvAsync(RunDetail run, string folder, bool force)
    {
        var (id, rows) = (run.Summary.Id, Rows(run));
        var (readings, trace) = (Path.Combine(folder, "readings"), Path.Combine(folder, "readings", id + ".csv"));
        var error = await ExportFile.WriteAsync(trace, force, async stream =>
        {
            await using var text = new StreamWriter(stream, new UTF8Encoding(false), leaveOpen: true);
            foreach (var piece in ReadingsCsvText.Pieces(ReadingColumns.Of(run.Plan, rows), rows))
            {
                await text.WriteAsync(piece).ConfigureAwait(false);
            }
        }).ConfigureAwait(false);
        error ??= await TextAsync(Path.Combine(readings, id + ".thermometer.json"), force, ThermometerChainFile.Write(run.Plan.Thermometer)).ConfigureAwait(false);
        if (run.Events.Any(fact => fact is PersonEntry))
        {
            error ??= await TextAsync(Path.Combine(readings, id + ".observations.csv"), force, ObservationsCsvText.Of(run.Events)).ConfigureAwait(false);
        }

        return error ?? await TextAsync(Path.Combine(folder, "events", id + ".csv"), force, EventsCsv.Of(run.Events)).ConfigureAwait(false);
    }

    /// <summary>One line for each run; of a damaged one what can be read, without its result.</summary>
    /// <param name="runs">Ids, and what was found damaged as the run was given out, in words; null where nothing was.</param>
    /// <param name="file">The file.</param>
    /// <param name="force">Whether one that is there is replaced.</param>
    public Task<InputError?> RunsCsvAsync(IEnumerable<(string Id, string? Damage)> runs, string file, bool force)
    {
        // Read one after the other: the runs of years do not belong into the memory.
        var text = new StringBuilder();
        RunsCsv.Begin(text);
        foreach (var (id, damage) in runs)
        {
            if (damage is null)
            {
                var run = Find(id)!;
                RunsCsv.Add(text, new(run.Summary, run, ProvenanceOf(id)));
            }
            else if (SummaryOf(id) is { } summary)
            {
                RunsCsv.Add(text, new(summary with { Result = null, Damage = summary.Damage ?? damage }, null, ProvenanceOf(id)));
            }
        }

        return TextAsync(file, force, text.ToString());
    }

    /// <summary>The readings as Parquet.</summary>
    public Task<InputError?> ParquetAsync(RunDetail run, string file, bool force, CancellationToken cancellationToken) =>
        ExportFile.WriteAsync(file, force, stream => WriteParquetAsync(run, stream, cancellationToken));

    /// <summary>The same to a stream.</summary>
    public Task WriteParquetAsync(RunDetail run, Stream stream, CancellationToken cancellationToken) => ReadingsParquet.WriteAsync(stream, run, ProvenanceOf(run.Summary.Id), Rows(run), cancellationToken);

    /// <summary>The whole run as one JSON document.</summary>
    public Task<InputError?> JsonAsync(RunDetail run, string file, bool force) => ExportFile.WriteAsync(file, force, stream => WriteJsonAsync(run, stream));

    /// <summary>The same to a stream.</summary>
    public Task WriteJsonAsync(RunDetail run, Stream stream)
    {
        RunDocument.Write(stream, run, ProvenanceOf(run.Summary.Id), Rows(run));
        return Task.CompletedTask;
    }

    /// <summary>The run as a bundle. An open run is refused, and one whose record is not as it was written.</summary>
    public async Task<InputError?> BundleAsync(RunDetail run, string file, bool force, BundleOptions options, DateTimeOffset now, string softwareVersion) =>
        Bundle(run, options, now, softwareVersion, out var fault) is { } whole
            ? await ExportFile.WriteAsync(file, force, stream => stream.WriteAsync(whole).AsTask()).ConfigureAwait(false)
            : new(run.Summary.Id, fault!);

    /// <summary>The run as a bundle; null, with why not, where it cannot be.</summary>
    public byte[]? Bundle(RunDetail run, BundleOptions options, DateTimeOffset now, string softwareVersion, out string? fault) =>
        BundleMaker.TryMake(_path, run.Summary.Id, RunCopies.Of(run, ProvenanceOf(run.Summary.Id), Rows(run)), options, now, softwareVersion, out fault);

    // Null where not even the row of the run can be read, which was told as the run was given out.
    private RunSummary? SummaryOf(string id)
    {
        try
        {
            return _reader.Summary(id);
        }
        catch (ArchiveCorruptException)
        {
            return null;
        }
    }

    private static Task<InputError?> TextAsync(string file, bool force, string text) => ExportFile.WriteAsync(file, force, stream => stream.WriteAsync(Encoding.UTF8.GetBytes(text)).AsTask());

    private IEnumerable<Core.Readings.ReadingRow> Rows(RunDetail run)
    {
        var (number, rows) = _reader.FindExtent(run.Summary.Id)!.Value;
        return _reader.Rows(run.Summary.Id, number, rows);
    }
}
