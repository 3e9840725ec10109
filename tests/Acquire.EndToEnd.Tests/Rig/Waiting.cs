using Xunit;

namespace Acquire.EndToEnd.Tests.Rig;

/// <summary>Waits for things to become true, with a limit that only a failure reaches.</summary>
internal static class Waiting
{
    private static readonly TimeSpan Beat = TimeSpan.FromMilliseconds(50);

    /// <summary>How long anything may take that is not paced by a simulated tester, s; a busy machine is given its time.</summary>
    public const double PromptSeconds = 60;

    /// <summary>How long a whole run at sixty times the speed may take, s; about 30 on an idle machine.</summary>
    public const double RunSeconds = 240;

    /// <summary>Waits until something holds.</summary>
    public static Task UntilAsync(Func<bool> holds, string what, double limitSeconds = PromptSeconds) =>
        ForAsync(() => Task.FromResult(holds()), done => done, what, limitSeconds);

    /// <summary>Looks again and again until what is seen will do, and returns it.</summary>
    public static async Task<T> ForAsync<T>(Func<Task<T>> look, Func<T, bool> enough, string what, double limitSeconds = PromptSeconds)
    {
        var cancel = TestContext.Current.CancellationToken;
        var start = TimeProvider.System.GetTimestamp();
        while (true)
        {
            var seen = await look();
            if (enough(seen))
            {
                return seen;
            }

            Assert.True(TimeProvider.System.GetElapsedTime(start).TotalSeconds < limitSeconds, $"Waited {limitSeconds} s in vain: {what}. Last seen: {seen}");
            await Task.Delay(Beat, TimeProvider.System, cancel);
        }
    }
}
