using Acquire.Core;

namespace Acquire.Service.CommandLine.Archiving;

/// <summary>Where an export goes: a folder, or for one run that becomes one file, that file.</summary>
/// <param name="Out">What was asked for.</param>
/// <param name="Format">The format.</param>
/// <param name="Runs">How many runs.</param>
internal sealed record ExportPlace(string Out, string Format, int Runs)
{
    /// <summary>The whole of it, for people.</summary>
    public string Whole => IsFile ? Out : Folder;

    /// <summary>The folder.</summary>
    public string Folder => Path.GetFullPath(Out);

    /// <summary>What is wrong with it; null where nothing is.</summary>
    public InputError? Mistake =>
        IsFile || !File.Exists(Out) ? null : new("--out", $"{Out} is a file; {(Format == "csv" ? "csv is several files" : $"{Runs} runs are several files")}, name a folder");

    // A name with an ending is a file; a folder is there already, or is named without one.
    private bool IsFile => Format != "csv" && Runs == 1 && !Directory.Exists(Out) && !Path.EndsInDirectorySeparator(Out) && Path.HasExtension(Out);

    /// <summary>The file of a run.</summary>
    public string FileOf(string run) => IsFile ? Out : Path.Combine(Folder, run + Format switch
    {
        "bundle" => ".run.zip",
        var ending => "." + ending,
    });
}
