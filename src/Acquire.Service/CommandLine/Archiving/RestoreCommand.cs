using System.CommandLine;
using System.Globalization;
using Acquire.Core;
using Acquire.Service.Archive;
using Acquire.Service.Archive.Chain;
using Acquire.Service.Archive.Copies;

namespace Acquire.Service.CommandLine.Archiving;

/// <summary>`acquire archive restore`: puts a copy in the place of the archive.</summary>
internal static class RestoreCommand
{
    public static Command Build()
    {
        var (data, config) = (ArchivePlace.Data(), ArchivePlace.Config());
        var file = new Argument<string>("copy") { Description = "A copy that acquire archive backup made." };
        var headFile = new Option<string?>("--head") { Description = "A head that was handed out earlier: the copy must hold it." }.Named();
        var command = new Command("restore", "Verify a copy and put it in the place of the archive. What stands there is set aside, never deleted. Stop the service first.") { file, data, config, headFile };
        command.SetAction(parsed =>
        {
            var (output, error) = (parsed.InvocationConfiguration.Output, parsed.InvocationConfiguration.Error);
            InputError? mistake = null;
            var head = parsed.GetValue(headFile) is { } named ? HeadFile.TryRead(named, out mistake) : null;
            if (mistake is not null)
            {
                error.WriteLine(mistake);
                return ExitCode.BadInput;
            }

            return ArchivePlace.TryFind(parsed.GetValue(data), parsed.GetValue(config), error, out var path)
                ? Run(parsed.GetValue(file)!, path, head, output, error)
                : ExitCode.BadInput;
        });
        return command;
    }

    private static int Run(string copy, string path, ArchiveHead? head, TextWriter output, TextWriter error)
    {
        try
        {
            var done = ArchiveRestore.PutInPlace(copy, path, head, TimeProvider.System.GetUtcNow());
            output.WriteLine(string.Create(CultureInfo.InvariantCulture, $"{path}: {done.Found.Records.Values.Sum()} records, sound, up to link {done.Found.Head!.Link}."));
            if (done.SetAside is { } aside)
            {
                output.WriteLine($"What stood there is now {aside}. {Difference(done)}");
            }

            return ExitCode.Done;
        }
        catch (ArchiveRefusedException refusal)
        {
            error.WriteLine(new InputError("copy", refusal.Message));
            return ExitCode.Failed;
        }
    }

    private static string Difference(RestoredArchive done) => done switch
    {
        { WhyNoHeadBefore: { } why } => $"How much it held cannot be told: {why}",
        { RecordsOnlySetAside: 0 } => "Nothing is in it that is not in place now.",
        { RecordsOnlySetAside: { } more } => string.Create(CultureInfo.InvariantCulture, $"The newest {more} records are only there: keep it."),
        _ => "It is of another archive: keep it.",
    };
}
