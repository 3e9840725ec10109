namespace Acquire.Benchmarks.Campaigns.Detection;

/// <summary>Plays the campaigns of the detection and writes what they came to into docs/detection.md.</summary>
internal static class DetectionReport
{
    /// <summary>Runs the command.</summary>
    /// <param name="args">What follows its word.</param>
    /// <returns>Exit code: 0, or 2 where something is wrong with the arguments.</returns>
    public static int Run(string[] args)
    {
        if (ReportOptions.Read(args) is not { } options)
        {
            Console.Error.WriteLine(ReportOptions.Usage);
            return 2;
        }

        var report = new ReportText(Campaign.Play(options));
        if (options.Only is not null)
        {
            // A part is for looking at: the document holds the whole.
            Console.WriteLine(report.Markdown);
            return 0;
        }

        ReportFile.Write(report);
        return 0;
    }
}
