using System.Globalization;
using Acquire.Service.Lanes;

namespace Acquire.Benchmarks.Campaigns.Mqtt;

/// <summary>One kind of payload: the tester that sends it, and how a sound one is made.</summary>
/// <param name="name">In a few words.</param>
/// <param name="id">The tester's id.</param>
/// <param name="topic">A topic of its own that its filter matches.</param>
/// <param name="config">Its `topics` and, behind a comma, what else its source has.</param>
/// <param name="payload">Makes a sound payload.</param>
internal sealed class MessageKind(string name, string id, string topic, string config, Func<Random, string> payload)
{
    private const int QueueCapacity = 65_536;

    /// <summary>In a few words.</summary>
    public string Name => name;

    /// <summary>A topic of its own.</summary>
    public string Topic => topic;

    /// <summary>The tester as acquire.json has it.</summary>
    public string Tester => $$"""{ "id": "{{id}}", "source": { "kind": "mqtt", {{config}} } }""";

    /// <summary>Where its rows go.</summary>
    public LaneInbox Inbox { get; } = new(id, QueueCapacity, TimeProvider.System);

    /// <summary>What became of its inputs.</summary>
    public MessageTally Tally { get; } = new();

    /// <summary>The newest sound payload; null before the first.</summary>
    public byte[]? Newest { get; set; }

    /// <summary>A sound payload.</summary>
    public string Sound(Random random) => payload(random);

    /// <summary>Every kind that is played.</summary>
    public static IReadOnlyList<MessageKind> All() =>
    [
        new("JSON by path", "json", "lab/json/rows", """
            "topics": [ { "filter": "lab/{tester}/rows", "payload": "json", "fields": [
              { "path": "t", "channel": "time", "unit": "s" }, { "path": "cup.temperature.c", "channel": "temperature", "unit": "degC" },
              { "path": "detector", "channel": "detector", "optional": true }, { "path": "flame", "channel": "flame", "optional": true } ] } ]
            """, random => random.Next(4) == 0 ? $"[{Json(random)},{Json(random)}]" : Json(random)),
        new("JSON with a count", "count", "lab/count/rows", """
            "order": { "by": "sequence" }, "topics": [ { "filter": "lab/{tester}/rows", "payload": "json", "fields": [
              { "path": "t", "channel": "time", "unit": "s" }, { "path": "n", "channel": "sequence" }, { "path": "c", "channel": "temperature", "unit": "degF" } ] } ]
            """, random => string.Create(CultureInfo.InvariantCulture, $"{{\"t\":{random.Next(10_000) / 10.0},\"n\":{random.Next(10_000)},\"c\":{random.NextDouble() * 400:0.00}}}")),
        new("CSV", "csv", "lab/csv/lines", """
            "topics": [ { "filter": "lab/{tester}/#", "payload": "csv", "columns": [ { "channel": "time", "unit": "ms" }, { "channel": "temperature", "unit": "degC" }, { "channel": "detector" }, { "channel": "flame" } ] } ]
            """, random => string.Join("\r\n", Enumerable.Range(0, random.Next(1, 5)).Select(_ => Csv(random)))),
        new("CSV, decimal comma", "comma", "lab/comma/lines", """
            "topics": [ { "filter": "lab/{tester}/+", "payload": "csv", "separator": ";", "decimalSeparator": ",", "columns": [ { "channel": "time", "unit": "ms" }, { "channel": "temperature", "unit": "K" }, { "channel": "detector" }, { "channel": "flame" } ] } ]
            """, random => Csv(random).Replace(',', ';').Replace('.', ',')),
        new("plain number", "plain", "lab/plain/temperature", """
            "topics": [ { "filter": "lab/{tester}/{channel}", "payload": "number", "channel": "temperature", "unit": "degC" }, { "filter": "lab/{tester}/{channel}", "payload": "number", "channel": "flame" } ]
            """, random => string.Create(CultureInfo.InvariantCulture, $" {random.NextDouble() * 400:0.00}\n")),
    ];

    private static string Json(Random random) => string.Create(
        CultureInfo.InvariantCulture,
        $"{{\"t\":{random.Next(1_000_000) / 100.0},\"cup\":{{\"temperature\":{{\"c\":{random.NextDouble() * 400:0.00}}}}},\"detector\":{random.NextDouble():E3},\"flame\":{(random.Next(2) == 0 ? "true" : "0")}}}");

    private static string Csv(Random random) =>
        string.Create(CultureInfo.InvariantCulture, $"{random.Next(1_000_000)},{280 + (random.NextDouble() * 200):0.00},{random.NextDouble():0.0000},{random.Next(2)}");
}

/// <summary>What became of the inputs on one tester's topics.</summary>
internal sealed class MessageTally
{
    public long Inputs { get; set; }

    public long Rows { get; set; }

    public long Damaged { get; set; }

    public long Refused { get; set; }

    public long Repeated { get; set; }

    public long ForNobody { get; set; }
}
