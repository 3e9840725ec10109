using Acquire.Service.Live;
using Acquire.Service.Sources;
using Microsoft.Extensions.Logging.Abstractions;
using Microsoft.Extensions.Time.Testing;
using Xunit;

namespace Acquire.Service.Tests.Sources;

public sealed class SourceKeeperTests
{
    [Fact(Timeout = 30000)]
    public async Task Source_that_fails_is_shown_as_down_and_started_again()
    {
        var time = new FakeTimeProvider();
        var inbox = SourceSamples.Inbox();
        using var stop = CancellationTokenSource.CreateLinkedTokenSource(TestContext.Current.CancellationToken);
        var second = new TaskCompletionSource(TaskCreationOptions.RunContinuationsAsynchronously);
        var starts = 0;
        async Task RunAsync(CancellationToken token)
        {
            if (++starts == 1)
            {
                throw new InvalidOperationException("a mistake");
            }

            second.SetResult();
            await Task.Delay(Timeout.InfiniteTimeSpan, TimeProvider.System, token);
        }

        var kept = new SourceKeeper(time, NullLogger.Instance).RunAsync("mqtt", () => [inbox], RunAsync, stop.Token);

        Assert.Equal(ConnectionState.Down, inbox.Connection.State);
        Assert.Contains("tries again", inbox.Connection.Text, StringComparison.Ordinal);
        Assert.Equal(1, starts);
        time.Advance(SourceKeeper.Pause);
        await second.Task;
        await stop.CancelAsync();
        await kept;
        Assert.Equal(2, starts);
    }
}
