using System.CommandLine;
using System.Globalization;
using Acquire.Core;
using Acquire.Service.Archive;
using Acquire.Service.Archive.Bundles;
using Acquire.Service.Archive.Chain;
using Acquire.Service.Archive.Database;
using Acquire.Service.Hosting;
using Microsoft.Extensions.Logging.Abstractions;

namespace Acquire.Service.CommandLine.Archiving;

/// <summary>`acquire archive import`: takes a run from another archive.</summary>
internal sealed class ImportCommand
{
    private const int LongestReason = 500;

    private readonly Argument<string> _file = new("FILE") { Description = "A bundle, as `acquire archive export --format bundle` makes it." };
    private readonly Option<bool> _dry = new("--dry-run") { Description = "Check everything, judge the run, write nothing." };
    private readonly Option<string?> _person = new("--person") { Description = $"Who answers for the import: {PersonName.Allowed}." };
    private readonly Option<string?> _reason = new("--reason") { Description = $"Why, 1 to {LongestReason} characters." };
    private readonly Option<bool> _otherwise = new("--judged-otherwise") { Description = "Import the run also where this program comes to another result than its record; the record then says so." };
    private readonly Option<string?> _head = new("--head") { Description = "A head of the archive that the run comes from, handed out earlier and kept elsewhere: the bundle must belong under it (it needs --witness when it is made)." };
    private readonly Option<string?> _key = new("--public-key") { Description = "Public key (PEM) by which the bundle, and the head where one is given, must be signed." };
    private readonly Option<string?> _data = ArchivePlace.Data();
    private readonly Option<string?> _config = ArchivePlace.Config();

    public static Command Build() => new ImportCommand().ToCommand();

    private Command ToCommand()
    {
        var command = new Command("import", "Take a run from another archive: check every byte of the bundle, judge the run, and write it into this archive. The service must not run meanwhile.") { _file, _dry, _person, _reason, _otherwise, _head, _key, _data, _config };
        command.SetAction(async (parsed, cancellationToken) =>
        {
            var error = parsed.InvocationConfiguration.Error;
            if (!ArchivePlace.TryFind(parsed.GetValue(_data), parsed.GetValue(_config), error, out var path))
            {
                return ExitCode.BadInput;
            }

            var mistakes = Arguments(parsed);
            if (mistakes.Count == 0 && Read(parsed, mistakes) is { } offer)
            {
                return await RunAsync(parsed, path, offer, cancellationToken).ConfigureAwait(false);
            }

            mistakes.ForEach(error.WriteLine);
            return ExitCode.BadInput;
        });
        return command;
    }

    private List<InputError> Arguments(ParseResult parsed)
    {
        var mistakes = new List<InputError>();
        var (person, reason) = (parsed.GetValue(_person), parsed.GetValue(_reason));
        if (person is null ? !parsed.GetValue(_dry) : PersonName.WhyNot(person) is not null)
        {
            mistakes.Add(new("--person", person is null ? $"is needed to import; allowed: {PersonName.Allowed}" : PersonName.WhyNot(person)!));
        }

        if (reason is null ? !parsed.GetValue(_dry) : BundleRules.WhyNoText(reason, LongestReason) is not null)
        {
            mistakes.Add(new("--reason", reason is null ? $"is needed to import: 1 to {LongestReason} characters" : BundleRules.WhyNoText(reason, LongestReason)!));
        }

        return mistakes;
    }

    // Everything that can be found out without the archive that it goes to.
    private ImportOffer? Read(ParseResult parsed, List<InputError> mistakes)
    {
        var offer = ImportOffer.Read(parsed.GetValue(_file)!, parsed.GetValue(_head), parsed.GetValue(_key), TimeProvider.System.GetUtcNow(), out var mistake);
        if (offer is null)
        {
            mistakes.Add(mistake!);
        }

        return offer;
    }

    private async Task<int> RunAsync(ParseResult parsed, string path, ImportOffer offer, CancellationToken cancellationToken)
    {
        var (output, error, file) = (parsed.InvocationConfiguration.Output, parsed.InvocationConfiguration.Error, parsed.GetValue(_file)!);
        offer.Tell(output);
        if (offer.Trial.Repeats == false && !parsed.GetValue(_otherwise))
        {
            error.WriteLine(new InputError(file, "this program comes to another result than the record; look at both. --judged-otherwise imports it all the same, and the record then says so"));
            return ExitCode.Failed;
        }

        try
        {
            if (parsed.GetValue(_dry))
            {
                return Dry(path, offer, file, output, error);
            }

            if (OpenRun(path) is { } open)
            {
                error.WriteLine(new InputError("--data", $"run {open} is open in this archive: the service runs, or ended in the middle of it. Start it, so that it settles the run, stop it and import then. Nothing was imported"));
                return ExitCode.BadInput;
            }

            await using var archive = RunArchive.Open(path, TimeProvider.System, NullLogger<RunArchive>.Instance);
            await archive.ImportAsync(offer.Bundle, offer.Import(TimeProvider.System.GetUtcNow(), parsed.GetValue(_person)!, parsed.GetValue(_reason)!, AcquireAppOptions.ThisVersion), cancellationToken).ConfigureAwait(false);
            output.WriteLine($"Imported into {path}.");
            return ExitCode.Done;
        }
        catch (InvalidOperationException refusal)
        {
            error.WriteLine(new InputError(file, refusal.Message));
            return ExitCode.Failed;
        }
        catch (Exception refusal) when (refusal is ArchiveRefusedException or ArchiveUnavailableException)
        {
            error.WriteLine(new InputError("--data", $"{refusal.Message} Nothing was imported; the service must not run meanwhile."));
            return ExitCode.BadInput;
        }
    }

    // Opening the archive to write would mark it as interrupted; that is for the service to decide.
    private static string? OpenRun(string path)
    {
        if (!File.Exists(path))
        {
            return null;
        }

        using var connection = ChainFile.Open(path);
        return ArchiveConnection.Scalar(connection, "SELECT id FROM runs WHERE closed_at_utc IS NULL AND interrupted_at_utc IS NULL LIMIT 1") is { Length: > 0 } id ? id : null;
    }

    private static int Dry(string path, ImportOffer offer, string file, TextWriter output, TextWriter error)
    {
        if (File.Exists(path))
        {
            using var connection = ChainFile.Open(path);
            if (ImportConflict.Find(connection, offer.Bundle) is { } no)
            {
                error.WriteLine(new InputError(file, no));
                return ExitCode.Failed;
            }
        }

        output.WriteLine(string.Create(CultureInfo.InvariantCulture, $"It can be imported into {path}. Nothing was written."));
        return ExitCode.Done;
    }
}
