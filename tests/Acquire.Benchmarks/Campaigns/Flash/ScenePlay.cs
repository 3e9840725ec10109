using Acquire.Core.Detection;

namespace Acquire.Benchmarks.Campaigns.Flash;

/// <summary>How a scene was judged.</summary>
/// <param name="Judged">Passes judged.</param>
/// <param name="False">Passes without a flash that were called one.</param>
/// <param name="Missed">Whether the flash was missed; false where there was none, or a false flash came before it.</param>
/// <param name="OnsetError">Onset told less the true one, s; NaN where it was not found.</param>
internal readonly record struct SceneOutcome(int Judged, int False, bool Missed, double OnsetError, double Significance);

/// <summary>Shows a scene to a detector watch, reading by reading.</summary>
internal static class ScenePlay
{
    public static SceneOutcome Play(PassScene scene, Action<Pass, PassVerdict>? look = null)
    {
        var watch = new DetectorWatch();
        var events = new List<WatchEvent>();
        var (judged, wrong, missed, error, significance) = (0, 0, false, double.NaN, 0.0);
        var pass = 0;
        var over = false;
        for (var i = 0; i < scene.Times.Length; i++)
        {
            var t = scene.Times[i];
            var now = pass < scene.Passes.Length && t >= scene.Passes[pass].Start && t <= scene.Passes[pass].End;
            if (now && !over)
            {
                watch.FlameOn(t, 5, events);
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

            watch.Add(t, scene.First[i], new(SustainedSeconds: 5, Freely: false, Signalled: true, Handled: false), events);
            foreach (var seen in events)
            {
                if (seen is WatchEvent.Judged one)
                {
                    var last = judged == scene.Passes.Length - 1 && !double.IsNaN(scene.Onset);
                    judged++;
                    look?.Invoke(one.Pass, one.Verdict);
                    if (last)
                    {
                        missed = !one.Verdict.Flash && wrong == 0;
                        error = one.Verdict.Flash ? one.Verdict.OnsetSeconds - scene.Onset : double.NaN;
                        significance = one.Verdict.Significance;
                    }
                    else
                    {
                        wrong += one.Verdict.Flash ? 1 : 0;
                    }
                }
            }

            events.Clear();
        }

        return new(judged, wrong, missed, error, significance);
    }
}
