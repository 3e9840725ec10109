using System.CommandLine;
using Acquire.Core;

namespace Acquire.Service.CommandLine.Archiving;

/// <summary>`acquire archive key`: makes a pair of keys for signing heads.</summary>
internal static class KeyCommand
{
    public static Command Build()
    {
        var path = new Option<string>("--out") { Description = "File for the private key (PEM); the public key is put beside it as NAME.public.pem. Files that are there are never overwritten.", Required = true }.Named();
        var command = new Command("key", "Make a pair of keys (ECDSA P-256) for signing heads. Keep the private key away from the archive and its machine.") { path };
        command.SetAction(parsed => Run(parsed.GetValue(path)!, parsed.InvocationConfiguration.Output, parsed.InvocationConfiguration.Error));
        return command;
    }

    private static int Run(string path, TextWriter output, TextWriter error)
    {
        try
        {
            var publicPath = KeyFile.Make(path);
            output.WriteLine($"Private key: {path}. Whoever has it can sign: keep it away from the archive and its machine.");
            output.WriteLine($"Public key: {publicPath}. Give it to whoever verifies.");
            return ExitCode.Done;
        }
        catch (Exception exception) when (exception is IOException or UnauthorizedAccessException)
        {
            error.WriteLine(new InputError("--out", $"{path} cannot be written: {exception.Message}"));
            return ExitCode.BadInput;
        }
    }
}
