using System.Buffers;
using System.Globalization;
using System.Text;
using Acquire.Core;
using Acquire.Core.Readings;
using Acquire.Service.Configuration;
using Acquire.Service.Lanes;
using Acquire.Service.Live;

namespace Acquire.Service.Sources.Mqtt;

/// <summary>Brings every message to the testers whose filters it matches. The embedded broker and the client share it.</summary>
public sealed class ReadingDispatcher
{
    /// <summary>Largest payload that is read, bytes.</summary>
    public const int LargestPayloadBytes = 256 * 1024;

    /// <summary>What is stated as the service ends: nothing that happened on the wire.</summary>
    internal const string Stopping = "the service is stopping";

    private readonly Lock _lock = new();
    private volatile Map _map = new([]);
    private TaskCompletionSource _changed = new(TaskCreationOptions.RunContinuationsAsynchronously);
    private (ConnectionState State, string? Text) _connection = (ConnectionState.Connecting, null);

    /// <param name="testers">The testers with an MQTT source, each with its inbox.</param>
    public ReadingDispatcher(IEnumerable<(SourceConfig.Mqtt Source, LaneInbox Inbox)> testers)
    {
        ArgumentNullException.ThrowIfNull(testers);
        _map = new([.. testers.SelectMany(tester => RoutesOf(tester.Source, tester.Inbox, null))]);
    }

    /// <summary>Where each filter leads.</summary>
    public IReadOnlyList<Route> Routes => _map.Routes;

    /// <summary>Ends with the next change of the <see cref="Routes"/>. Ask for it before they are read.</summary>
    public Task Changed
    {
        get
        {
            lock (_lock)
            {
                return _changed.Task;
            }
        }
    }

    /// <summary>Brings messages to one more tester from now on; the others are not touched.</summary>
    /// <param name="source">Its topics.</param>
    /// <param name="inbox">Where its rows go.</param>
    /// <param name="tap">Listens to its messages; null where nobody does.</param>
    public void Add(SourceConfig.Mqtt source, LaneInbox inbox, WireTap? tap = null)
    {
        ArgumentNullException.ThrowIfNull(source);
        ArgumentNullException.ThrowIfNull(inbox);
        lock (_lock)
        {
            inbox.SetConnection(_connection.State, _connection.Text);
            Become([.. _map.Routes, .. RoutesOf(source, inbox, tap)]);
        }
    }

    /// <summary>Brings no message to a tester any more; the others are not touched.</summary>
    public void Remove(string testerId)
    {
        lock (_lock)
        {
            Become([.. _map.Routes.Where(route => route.Inbox.TesterId != testerId)]);
        }
    }

    /// <summary>States at every tester whether messages can come.</summary>
    internal void SetConnection(ConnectionState state, string? text)
    {
        lock (_lock)
        {
            Tell(state, text);
            _connection = (state, text);
            foreach (var inbox in _map.Routes.Select(route => route.Inbox).Distinct())
            {
                inbox.SetConnection(state, text);
            }
        }
    }

    /// <summary>Decodes a message and hands its rows over; waits while an inbox is full. Mistakes are counted on the inbox, with topic and reason.</summary>
    /// <param name="topic">Topic of the message.</param>
    /// <param name="payload">Its bytes; read before the first wait and not kept.</param>
    /// <param name="subscriptions">The subscriptions for which the broker sent this copy; null or empty where it did not say.</param>
    /// <param name="repeated">Whether the sender says that it sent the message before.</param>
    /// <param name="cancellationToken">Ends the wait for a full inbox.</param>
    public ValueTask DispatchAsync(string topic, in ReadOnlySequence<byte> payload, IReadOnlyList<uint>? subscriptions, bool repeated, CancellationToken cancellationToken)
    {
        var work = Workspace.OfThread;
        work.Clear();
        _map.Tree.Match(topic, work.Routes);
        foreach (var route in work.Routes)
        {
            // A broker may send one copy for each overlapping subscription; each copy then goes only where it belongs.
            if (subscriptions is not { Count: > 0 } || subscriptions.Contains(route.SubscriptionIdentifier))
            {
                Decode(work, route, topic, payload, repeated);
            }
        }

        return HandOver(work.Deliveries, cancellationToken);
    }

    private void Tell(ConnectionState state, string? text)
    {
        if (_connection == (state, text) || state == ConnectionState.Connecting || text == Stopping)
        {
            return;
        }

        foreach (var tap in _map.Routes.Select(route => route.Tap).OfType<WireTap>().Distinct())
        {
            if (state == ConnectionState.Up)
            {
                tap.Opened?.Invoke();
            }
            else
            {
                tap.Fault?.Invoke(text ?? "the connection is lost");
            }
        }
    }

    private void Become(IReadOnlyList<Route> routes)
    {
        _map = new(routes);
        _changed.TrySetResult();
        _changed = new(TaskCreationOptions.RunContinuationsAsynchronously);
    }

    private static IEnumerable<Route> RoutesOf(SourceConfig.Mqtt source, LaneInbox inbox, WireTap? tap) => source.Topics.Select(topic =>
        new Route(topic.Filter, IdentifierOf(topic.Filter), topic.HasTime, PayloadDecoder.For(topic), inbox) { Gate = topic.HasTime ? new(source.Order) : null, Tap = tap });

    // The workspace belongs to the thread only until the first wait: what is left then is taken along.
    private static ValueTask HandOver(List<Delivery> deliveries, CancellationToken cancellationToken)
    {
        for (var index = 0; index < deliveries.Count; index++)
        {
            var handed = deliveries[index].Inbox.WriteAsync(deliveries[index].Row, cancellationToken);
            if (!handed.IsCompletedSuccessfully)
            {
                return HandOverAsync(handed, [.. deliveries[(index + 1)..]], cancellationToken);
            }
        }

        return ValueTask.CompletedTask;
    }

    private static async ValueTask HandOverAsync(ValueTask handed, Delivery[] rest, CancellationToken cancellationToken)
    {
        await handed;
        foreach (var (inbox, row) in rest)
        {
            await inbox.WriteAsync(row, cancellationToken);
        }
    }

    private static void Decode(Workspace work, Route route, string topic, in ReadOnlySequence<byte> payload, bool repeated)
    {
        var text = route.Tap is null ? [] : payload.Slice(0, Math.Min(payload.Length, LargestPayloadBytes)).ToArray();
        route.Tap?.Message?.Invoke(topic, text);
        if (payload.Length > LargestPayloadBytes)
        {
            route.Inbox.Refuse(At(topic, new("payload", string.Create(CultureInfo.InvariantCulture, $"given {payload.Length} bytes; allowed: up to {LargestPayloadBytes}"))));
            return;
        }

        work.Rows.Clear();
        work.Errors.Clear();
        route.Decoder.Decode(payload, route.Inbox.ArrivalSeconds, work.Rows, work.Errors);
        foreach (var error in work.Errors)
        {
            route.Tap?.Line?.Invoke(new(text, null, At(topic, error)));
            route.Inbox.Refuse(At(topic, error));
        }

        if (route.Tap?.Line is { } told)
        {
            work.Rows.ForEach(row => told(new(text, row.Row, null)));
        }

        InOrder(work, route, repeated);
    }

    private static void InOrder(Workspace work, Route route, bool repeated)
    {
        if (route.Gate is not { HasOrder: true } gate)
        {
            // What a broker repeats it repeats whole: the first row tells.
            var again = work.Rows.Count > 0 && route.Gate?.Judge(work.Rows[0].Row.AtSeconds, null, repeated, out _) == Standing.Repeated;
            foreach (var (row, _) in work.Rows)
            {
                Take(work, route, row, again ? Standing.Repeated : Standing.InOrder);
            }

            return;
        }

        foreach (var (row, sequence) in work.Rows)
        {
            var standing = gate.Judge(row.AtSeconds, sequence, repeated, out var missing);
            route.Inbox.Miss(missing);
            Take(work, route, row, standing);
        }
    }

    private static void Take(Workspace work, Route route, in ReadingRow row, Standing standing)
    {
        switch (standing)
        {
            case Standing.Repeated:
                route.Inbox.Repeat();
                break;
            case Standing.Late:
                route.Inbox.Late();
                work.Deliveries.Add(new(route.Inbox, row with { Marks = row.Marks | ReadingMarks.Late }));
                break;
            default:
                work.Deliveries.Add(new(route.Inbox, row));
                break;
        }
    }

    private static InputError At(string topic, InputError error) => error with { Path = $"topic {JsonText.Shown(topic)}, {error.Path}" };

    // FNV-1a, cut to the 28 bits that MQTT allows and never 0. The same filter keeps its identifier when the file changes,
    // so that what the broker queued under the old file still finds its way.
    private static uint IdentifierOf(string filter)
    {
        unchecked
        {
            var hash = 2166136261u;
            foreach (var one in Encoding.UTF8.GetBytes(filter))
            {
                hash = (hash ^ one) * 16777619u;
            }

            return (hash % 268_435_455u) + 1;
        }
    }

    private readonly record struct Delivery(LaneInbox Inbox, ReadingRow Row);

    /// <summary>What decoding a message needs, kept by each thread: a message that is handed over at once allocates nothing here.</summary>
    private sealed class Workspace
    {
        // One message of 256 KiB makes thousands of rows; memory for so many is not kept.
        private const int MostKept = 1024;

        [ThreadStatic]
        private static Workspace? _ofThread;

        public static Workspace OfThread => _ofThread ??= new();

        public List<Route> Routes { get; } = [];

        public List<DecodedRow> Rows { get; } = [];

        public List<InputError> Errors { get; } = [];

        public List<Delivery> Deliveries { get; } = [];

        public void Clear()
        {
            Empty(Routes);
            Empty(Rows);
            Empty(Errors);
            Empty(Deliveries);
        }

        private static void Empty<T>(List<T> list)
        {
            list.Clear();
            if (list.Capacity > MostKept)
            {
                list.Capacity = 0;
            }
        }
    }

    // Made whole and put in place at once: a message finds the routes before a change or those after it.
    private sealed class Map
    {
        public Map(IReadOnlyList<Route> routes)
        {
            Routes = routes;
            foreach (var route in routes)
            {
                Tree.Add(route.Filter, route);
            }
        }

        public IReadOnlyList<Route> Routes { get; }

        public TopicTree<Route> Tree { get; } = new();
    }

    /// <summary>One filter of one tester.</summary>
    /// <param name="Filter">Topic filter.</param>
    /// <param name="SubscriptionIdentifier">Identifier of its subscription, 1 to 268,435,455; the same for the same filter.</param>
    /// <param name="HasTime">Whether its messages carry the tester's own time.</param>
    /// <param name="Decoder">Reads the payload.</param>
    /// <param name="Inbox">Takes the rows.</param>
    public sealed record Route(string Filter, uint SubscriptionIdentifier, bool HasTime, PayloadDecoder Decoder, LaneInbox Inbox)
    {
        /// <summary>Knows what came twice or late; null for topics without a time.</summary>
        internal OrderGate? Gate { get; init; }

        /// <summary>Listens to its messages; null where nobody does.</summary>
        internal WireTap? Tap { get; init; }
    }
}
