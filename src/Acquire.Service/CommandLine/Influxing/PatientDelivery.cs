using System.Globalization;
using Acquire.Core;
using Acquire.Service.Archive.Influx.Keeping;
using Acquire.Service.Archive.Influx.Sending;

namespace Acquire.Service.CommandLine.Influxing;

/// <summary>Brings batches to the server for a person who waits: tries again a few times, and then says why it gives up.</summary>
internal sealed class PatientDelivery(InfluxSession session, InfluxEndpoint endpoint, OutboxStore store)
{
    private const int MostTroubles = 8;

    private readonly OutboxPace _pace = new(session.Options.Random);

    /// <summary>Lines taken.</summary>
    public long Taken { get; private set; }

    /// <summary>Records set aside.</summary>
    public long Aside { get; private set; }

    /// <summary>Opens the endpoint. False, and told, where it cannot be.</summary>
    public static InfluxEndpoint? Open(InfluxSession session)
    {
        var endpoint = InfluxEndpoint.Open(session.Influx, session.Time, session.Options.Around, out var mistake);
        if (endpoint is null)
        {
            session.Error.WriteLine(mistake);
        }

        return endpoint;
    }

    /// <summary>Sends a batch, and notes what was set aside of it. False, and told, where it gives up.</summary>
    public async Task<bool> SendAsync(OutboxBatch batch, CancellationToken cancellationToken)
    {
        var delivery = new BatchDelivery(batch, session.Time);
        for (var troubles = 0; !delivery.IsDone;)
        {
            if (await delivery.StepAsync(endpoint, cancellationToken).ConfigureAwait(false) is not { } trouble)
            {
                troubles = 0;
                _pace.Reset();
                continue;
            }

            if (trouble.Outcome == WriteOutcome.Refused || ++troubles >= MostTroubles)
            {
                session.Error.WriteLine(new InputError("influx", $"{trouble.Words}. What was taken so far is there; call this again once that is put right"));
                return false;
            }

            var wait = _pace.After(trouble);
            session.Error.WriteLine(string.Create(CultureInfo.InvariantCulture, $"{trouble.Words}; again in {wait.TotalSeconds:0.0} s"));
            await Task.Delay(wait, session.Time, cancellationToken).ConfigureAwait(false);
        }

        store.Advance([], delivery.Aside, delivery.Taken, null);
        (Taken, Aside) = (Taken + delivery.TakenLines, Aside + delivery.Aside.Sum(stretch => stretch.Count));
        return true;
    }
}
