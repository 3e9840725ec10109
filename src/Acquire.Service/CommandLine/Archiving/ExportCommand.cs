using System.CommandLine;
using System.Globalization;
using Acquire.Core;
using Acquire.Service.Archive;
using Acquire.Service.Archive.Bundles;
using Acquire.Service.Archive.Exports;
using Acquire.Service.Hosting;
using Acquire.Service.Live;
using Acquire.Service.Sources.Capture;

namespace Acquire.Service.CommandLine.Archiving;

/// <summary>`acquire archive export`: gives runs out as files.</summary>
internal sealed class ExportCommand
{
    private static readonly string[] Formats = ["csv", "parquet", "json", "bundle"];

    private readonly Argument<string[]> _runs = new("RUN") { Description = "Ids of the runs, see GET /api/runs.", Arity = ArgumentArity.ZeroOrMore };
    private readonly Option<bool> _all = new("--all") { Description = "All runs." };
    private readonly Option<DateOnly?> _from = new("--from") { Description = "Runs that began on this day (UTC) or later, such as 2026-03-02.", CustomParser = DayOption.Parse };
    private readonly Option<DateOnly?> _to = new("--to") { Description = "Runs that began on this day (UTC) or earlier.", CustomParser = DayOption.Parse };
    private readonly Option<string?> _tester = new("--tester") { Description = "Runs of this tester." };
    private readonly Option<string> _format = new("--format") { Description = $"{string.Join(", ", Formats)}: readings, facts and one line a run as text; readings as Parquet; a whole run as JSON; or as a bundle, which another archive can import.", Required = true };
    private readonly Option<string> _out = new("--out") { Description = "Folder to write to; for one run that becomes one file, that file.", Required = true };
    private readonly Option<bool> _force = new("--force") { Description = "Replace files that are there." };
    private readonly Option<bool> _witness = new("--witness") { Description = "Only bundle: add all links of the chain from the run to the head, so that the run can be shown to belong under a head that somebody keeps." };
    private readonly Option<bool> _wire = new("--wire") { Description = "Only bundle: add what the wire said, where it was kept." };
    private readonly Option<string?> _sign = new("--sign") { Description = "Only bundle: private key (PEM) to sign it with; it must not lie in the archive's folder." };
    private readonly Option<string?> _data = ArchivePlace.Data();
    private readonly Option<string?> _config = ArchivePlace.Config();

    public static Command Build() => new ExportCommand().ToCommand();

    private Command ToCommand()
    {
        _format.AcceptOnlyFromAmong(Formats);
        var command = new Command("export", "Give runs out as files. Changes nothing; the service may run meanwhile.") { _runs, _all, _from, _to, _tester, _format, _out, _force, _witness, _wire, _sign, _data, _config };
        command.SetAction(async (parsed, cancellationToken) =>
        {
            var error = parsed.InvocationConfiguration.Error;
            if (!ArchivePlace.TryFind(parsed.GetValue(_data), parsed.GetValue(_config), error, out var path))
            {
                return ExitCode.BadInput;
            }

            try
            {
                return await RunAsync(parsed, path, cancellationToken).ConfigureAwait(false);
            }
            catch (Exception refusal) when (refusal is ArchiveRefusedException or ArchiveCorruptException)
            {
                error.WriteLine(new InputError("--data", refusal.Message));
                return ExitCode.BadInput;
            }
        });
        return command;
    }

    private async Task<int> RunAsync(ParseResult parsed, string path, CancellationToken cancellationToken)
    {
        var error = parsed.InvocationConfiguration.Error;
        var export = new ArchiveExport(path);
        var (runs, mistakes) = Choose(parsed, export);
        if (!TryOptions(parsed, path, out var options, out var mistake))
        {
            mistakes = [.. mistakes, mistake!];
        }

        using (options.Key)
        {
            if (mistakes.Count > 0)
            {
                mistakes.ForEach(error.WriteLine);
                return ExitCode.BadInput;
            }

            var place = new ExportPlace(parsed.GetValue(_out)!, parsed.GetValue(_format)!, runs.Count);
            return place.Mistake is { } wrong ? Refuse(error, wrong) : await WriteAsync(parsed, export, runs, place, options, path, cancellationToken).ConfigureAwait(false);
        }
    }

    private (List<string> Runs, List<InputError> Mistakes) Choose(ParseResult parsed, ArchiveExport export)
    {
        var (named, mistakes) = (parsed.GetValue(_runs)!, new List<InputError>());
        var (from, to, tester) = (parsed.GetValue(_from), parsed.GetValue(_to), parsed.GetValue(_tester));
        var filtered = parsed.GetValue(_all) || from is not null || to is not null || tester is not null;
        if (filtered == named.Length > 0)
        {
            mistakes.Add(new("RUN", "name runs, or say which by --all, --from, --to and --tester"));
            return ([], mistakes);
        }

        if (filtered)
        {
            var chosen = export.Runs(tester).Where(run => Day(run.StartedAt) is not { } day || ((from is null || day >= from) && (to is null || day <= to))).Select(run => run.Id).ToList();
            mistakes.AddRange(chosen.Count > 0 ? [] : [new("RUN", "there is no run of that kind")]);
            return (chosen, mistakes);
        }

        mistakes.AddRange(named.Where(id => !export.Has(id)).Select(id => new InputError("RUN", $"there is no run '{id}'")));
        return ([.. named.Distinct()], mistakes);
    }

    private bool TryOptions(ParseResult parsed, string path, out BundleOptions options, out InputError? mistake)
    {
        options = new() { Witness = parsed.GetValue(_witness) };
        mistake = null;
        var (sign, bundle) = (parsed.GetValue(_sign), parsed.GetValue(_format) == "bundle");
        if (!bundle && (sign is not null || options.Witness || parsed.GetValue(_wire)))
        {
            mistake = new("--format", "--sign, --witness and --wire are for a bundle");
        }
        else if (sign is not null && HeadSigning.TryKey(sign, path, out var key, out mistake))
        {
            options = options with { Key = key };
        }

        return mistake is null;
    }

    private async Task<int> WriteAsync(ParseResult parsed, ArchiveExport export, List<string> runs, ExportPlace place, BundleOptions options, string path, CancellationToken cancellationToken)
    {
        var (output, error, force) = (parsed.InvocationConfiguration.Output, parsed.InvocationConfiguration.Error, parsed.GetValue(_force));
        var (code, lines) = (ExitCode.Done, new List<(string Id, string? Damage)>());
        foreach (var id in runs)
        {
            var (refusal, damage) = await WriteOneAsync(parsed, export, id, place, options, path, cancellationToken).ConfigureAwait(false);
            code = Tell(refusal, error, code);
            if (refusal is null || damage is not null)
            {
                lines.Add((id, damage));
            }
        }

        if (place.Format == "csv" && lines.Count > 0)
        {
            code = Tell(await export.RunsCsvAsync(lines, Path.Combine(place.Folder, "runs.csv"), force).ConfigureAwait(false), error, code);
        }

        output.WriteLine(string.Create(CultureInfo.InvariantCulture, $"{lines.Count(line => line.Damage is null)} of {runs.Count} runs given out as {place.Format}: {place.Whole}"));
        return code;
    }

    // A run that is damaged is told like one that is there already: the others are given out.
    private async Task<(InputError? Refusal, string? Damage)> WriteOneAsync(ParseResult parsed, ArchiveExport export, string id, ExportPlace place, BundleOptions options, string path, CancellationToken cancellationToken)
    {
        try
        {
            var (run, file, force) = (export.Find(id)!, place.FileOf(id), parsed.GetValue(_force));
            var refusal = place.Format switch
            {
                "csv" => await export.CsvAsync(run, place.Folder, force).ConfigureAwait(false),
                "parquet" => await export.ParquetAsync(run, file, force, cancellationToken).ConfigureAwait(false),
                "json" => await export.JsonAsync(run, file, force).ConfigureAwait(false),
                _ => await BundleAsync(export, run, file, force, options, new(parsed.GetValue(_wire) ? Path.Combine(Path.GetDirectoryName(path)!, "wires") : null), cancellationToken).ConfigureAwait(false),
            };
            return (refusal, null);
        }
        catch (ArchiveCorruptException damage)
        {
            return (new(id, damage.Message), damage.Words);
        }
    }

    private static int Tell(InputError? refusal, TextWriter error, int code)
    {
        if (refusal is not null)
        {
            error.WriteLine(refusal);
        }

        return refusal is null ? code : ExitCode.Failed;
    }

    private static int Refuse(TextWriter error, InputError mistake)
    {
        error.WriteLine(mistake);
        return ExitCode.BadInput;
    }

    private static async Task<InputError?> BundleAsync(ArchiveExport export, RunDetail run, string file, bool force, BundleOptions options, CaptureFolder captures, CancellationToken cancellationToken)
    {
        var (wire, fault) = await BundleWire.ReadAsync(captures, run.Summary.Id, cancellationToken).ConfigureAwait(false);
        return fault is not null
            ? new(run.Summary.Id, fault)
            : await export.BundleAsync(run, file, force, options with { Wire = wire }, TimeProvider.System.GetUtcNow(), AcquireAppOptions.ThisVersion).ConfigureAwait(false);
    }

    private static DateOnly? Day(DateTimeOffset? startedAt) => startedAt is { } at ? DateOnly.FromDateTime(at.UtcDateTime) : null;
}
