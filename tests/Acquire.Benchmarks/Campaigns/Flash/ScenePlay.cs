using Acquire.Core.Detection;

namespace Acquire.Benchmarks.Campaigns.Flash;

/// <summary>How one pass of a scene was judged.</summary>
/// <param name="Number">From 1.</param>
/// <param name="Flashes">The truth.</param>
/// <param name="Told">Whether it was called a flash.</param>
/// <param name="OnsetSeconds">Onset told, on the scene's axis, s.</param>
/// <param name="Significance">Strength of the evidence in the deciding detector, standard deviations.</param>
/// <param name="Confirmation">The same in the confirming one; null where it was not asked.</param>
internal readonly record struct PlayedPass(int Number, bool Flashes, bool Told, double OnsetSeconds, double Significance, double? Confirmation)
{
    /// <summary>What is compared with a threshold: where both speak, the second counts in part.</summary>
    public double Evidence => Significance + (SuddenPart.SecondShare * (Confirmation ?? 0));
}

/// <summary>Shows a scene to a detector watch, reading by reading.</summary>
internal static class ScenePlay
{
    private const double SustainedSeconds = 5;

    /// <summary>The passes in order, up to the last or to the first that was falsely called a flash: there a run is wrong, and nothing after it counts.</summary>
    public static List<PlayedPass> Play(PassScene scene)
    {
        var watch = new DetectorWatch();
        var events = new List<WatchEvent>();
        var played = new List<PlayedPass>(scene.Passes.Length);
        var (pass, over) = (0, false);
        for (var i = 0; i < scene.Times.Length; i++)
        {
            var t = scene.Times[i];
            var now = pass < scene.Passes.Length && t >= scene.Passes[pass].Start && t <= scene.Passes[pass].End;
            if (now && !over)
            {
                watch.FlameOn(t, SustainedSeconds, events);
            }
            else if (!now && over)
            {
                watch.FlameOff(t, events);
                pass++;
            }

            over = now;
            if (scene.Second is { } second)
            {
                watch.AddSecond(t, second[i]);
            }

            watch.Add(t, scene.First[i], new(SustainedSeconds, Freely: false, Signalled: true, Handled: false), events);
            Take(scene, events, played);
            if (played is [.., { Told: true, Flashes: false }])
            {
                break;
            }
        }

        // What glows on is looked at for longer: a pass that is open as the record ends is judged with what there is, as in a run.
        watch.Finish(scene.Times[^1], SustainedSeconds, events);
        Take(scene, events, played);
        return played;
    }

    private static void Take(PassScene scene, List<WatchEvent> events, List<PlayedPass> played)
    {
        foreach (var judged in events.OfType<WatchEvent.Judged>())
        {
            played.Add(Of(scene, played.Count + 1, judged.Verdict));
        }

        events.Clear();
    }

    private static PlayedPass Of(PassScene scene, int number, PassVerdict verdict) =>
        new(number, number == scene.Passes.Length && !double.IsNaN(scene.Onset), verdict.Flash, verdict.OnsetSeconds, verdict.Significance, verdict.Confirmation);
}
