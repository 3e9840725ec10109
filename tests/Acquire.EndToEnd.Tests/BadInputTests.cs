using System.Text;
using Acquire.Core.Alarms;
using Acquire.Core.Results;
using Acquire.EndToEnd.Tests.Rig;
using Acquire.Service.Live;
using Acquire.Simulator;
using Xunit;

namespace Acquire.EndToEnd.Tests;

/// <summary>Garbage on the wire in mid-run: counted, shown with place and reason, and without effect on the readings around it.</summary>
public sealed class BadInputTests
{
    private const string Bench = "bench-1";
    private const double GarbageSeconds = 300;

    [Fact(Timeout = 600_000)]
    public async Task Garbage_on_a_serial_line_is_counted_and_the_run_is_judged_as_if_it_had_not_come()
    {
        string[] garbage =
        [
            "hello", "1.0,2.0", "301,nan,0.1,0", "301,99999,0.1,0", "301,101,0.1,maybe", "301,101;0.1;0", "-5,101,0.1,0",
            "301,1e400,0.1,0", new string('7', 3000), "\u0001\u0002\u0003", ",101,0.1,0", "301,101,0.1,0,0",
        ];
        using var folder = new TestFolder();
        await using var line = await SocatPair.PlugInAsync(folder);
        await using var service = await RunningService.ServeAsync(folder, ConfigText.Of(ConfigText.Serial(Bench, line.ServiceEnd)));
        await service.Api.ConnectedAsync(Bench);
        await JudgedAsync(
            service.Api,
            rows => SerialSpeaker.OnPort(line.TesterEnd, 115_200, TimeProvider.System, Assert.Fail).SpeakAsync(rows, Specimens.Speed, TestContext.Current.CancellationToken),
            () => WriteAsync(line.TesterEnd, string.Join('\n', garbage) + '\n'),
            garbage.Length);
    }

    [Fact(Timeout = 600_000)]
    public async Task Bad_payloads_are_counted_and_the_run_is_judged_as_if_they_had_not_come()
    {
        string[] garbage =
        [
            "", "hello", "[", "null", "42", "{}", """{ "time_s": "soon", "temperature_c": 100, "detector": 1 }""", """{ "time_s": 301, "temperature_c": 1e9, "detector": 1 }""",
            """{ "time_s": 301, "temperature_c": 100, "detector": null }""", """{ "time_s": 301, "temperature_c": 100, "detector": 1, "flame": 7 }""", """{ "time_s": -1, "temperature_c": 100, "detector": 1 }""",
            new string('[', 5000), "[" + new string(' ', 300_000) + "]",
        ];
        using var folder = new TestFolder();
        var port = Installed.FreePort();
        await using var service = await RunningService.ServeAsync(folder, ConfigText.Embedded(port, ConfigText.Mqtt(Bench)));
        await service.Api.ConnectedAsync(Bench);
        using var publisher = await Publisher.ConnectAsync(port);
        await JudgedAsync(
            service.Api,
            rows => new MqttSpeaker(new MqttSpeakerOptions { Tester = Bench, Port = port }, TimeProvider.System, Assert.Fail).SpeakAsync(rows, Specimens.Speed, TestContext.Current.CancellationToken),
            async () =>
            {
                foreach (var payload in garbage)
                {
                    await publisher.SendAsync($"acquire/{Bench}/readings", payload);
                }

                await publisher.SendAsync($"acquire/{Bench}/readings", new byte[] { 0xff, 0xfe, 0x00 });
            },
            garbage.Length + 1);
    }

    private static async Task JudgedAsync(ServiceApi api, Func<IEnumerable<Core.Readings.ReadingRow>, Task> speakAsync, Func<Task> spoilAsync, long refused)
    {
        var said = new SimulatedRun(Specimens.Of(181, 51));
        var run = await api.StartAsync(Bench, said.Options);
        var before = said.TakeWhile(row => row.AtSeconds < GarbageSeconds).ToArray();
        await speakAsync(before);
        await api.ArchivedAsync(run.Id, before.Length);

        await spoilAsync();
        var seen = await Waiting.ForAsync(() => api.TesterAsync(Bench), tester => tester.Counters.Malformed >= refused && tester.Alarms.Any(alarm => alarm.Code == AlarmCodes.InputMalformed), $"{refused} refusals");
        Assert.False(string.IsNullOrWhiteSpace(seen.LastRefusal));
        Assert.Equal(ConnectionState.Up, seen.Connection);

        await speakAsync(said.SkipWhile(row => row.AtSeconds < GarbageSeconds));
        var closed = await api.FinishedAsync(run.Id, said.LongCount());
        Truth.AssertSame(said, await api.RowsAsync(run.Id));
        Truth.AssertMet(said.Truth, closed.Result);
        Assert.Equal(Verdict.Valid, closed.Result!.Verdict);
        Assert.Equal(refused, (await api.TesterAsync(Bench)).Counters.Malformed);
    }

    private static async Task WriteAsync(string path, string text)
    {
        await using var wire = new FileStream(path, FileMode.Open, FileAccess.Write, FileShare.ReadWrite, 0);
        await wire.WriteAsync(Encoding.Latin1.GetBytes(text), TestContext.Current.CancellationToken);
    }
}
