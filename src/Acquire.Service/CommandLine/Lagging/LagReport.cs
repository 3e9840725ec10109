using System.Globalization;
using System.Text.Encodings.Web;
using System.Text.Json;
using System.Text.Json.Serialization;
using Acquire.Core.Thermometry;

namespace Acquire.Service.CommandLine.Lagging;

/// <summary>How a lag was found.</summary>
internal enum LagWay
{
    /// <summary>Plunged from one steady temperature into another.</summary>
    Step,

    /// <summary>Beside a reference thermometer in a specimen whose temperature changes.</summary>
    Ramp,

    /// <summary>Heated from rest at a constant rate.</summary>
    RampFromRest,
}

/// <summary>What `acquire lag` prints.</summary>
internal sealed record LagReport
{
    /// <summary>Middle of the controlled heating of the methods, °C/min.</summary>
    public const double RateCelsiusPerMinute = 5.5;

    private const string Caution = "Leave the correction off where a result is to be reported: a method's precision statement assumes its own thermometer, lag included.";

    private static readonly JsonSerializerOptions Options = new()
    {
        PropertyNamingPolicy = JsonNamingPolicy.SnakeCaseLower,
        DefaultIgnoreCondition = JsonIgnoreCondition.WhenWritingNull,
        Encoder = JavaScriptEncoder.UnsafeRelaxedJsonEscaping,
        Converters = { new JsonStringEnumConverter(JsonNamingPolicy.KebabCaseLower) },
    };

    public required string Trace { get; init; }

    public required LagWay FoundFrom { get; init; }

    public required double TimeConstantS { get; init; }

    public required double StandardUncertaintyS { get; init; }

    public required double ScatterC { get; init; }

    public required int ReadingsUsed { get; init; }

    public required int ReadingsLeftOut { get; init; }

    public required int RowsEmpty { get; init; }

    public required double? OnsetS { get; init; }

    public required double? DelayS { get; init; }

    public required double? OffsetC { get; init; }

    /// <summary>By how much the sensor is behind a steady ramp, s: its time constant, and what a first stage adds.</summary>
    public double BehindRampS => TimeConstantS + (DelayS ?? 0);

    public double RateCPerMin { get; } = RateCelsiusPerMinute;

    public double LagC => BehindRampS * RateCelsiusPerMinute / 60;

    public double LagStandardUncertaintyC => StandardUncertaintyS * RateCelsiusPerMinute / 60;

    public IReadOnlyList<string> Notes => [Limit, "It holds for this sensor in this liquid, with this stirring and immersion; another specimen can give another lag.", Caution];

    private string Limit => FoundFrom switch
    {
        LagWay.Step when DelayS is null => "The rest before the step is not on record, so that a first stage of the sensor was not looked for; on a ramp it would add to the lag.",
        LagWay.Step => "Time that the plunge took shows as a delay, as a first stage of the sensor does; a plunge must be quick.",
        LagWay.Ramp => "It is relative to the reference: add the reference's own time constant, if it has one that matters.",
        _ => "Whatever else is slow between the heater and the sensor counts as the sensor's here; a record with a reference thermometer is free of that.",
    };

    public static LagReport From(string trace, LagWay way, int rowsEmpty, LagEstimate estimate) => new()
    {
        Trace = trace,
        FoundFrom = way,
        TimeConstantS = estimate.TimeConstantSeconds,
        StandardUncertaintyS = estimate.StandardUncertaintySeconds,
        ScatterC = estimate.ScatterCelsius,
        ReadingsUsed = estimate.ReadingsUsed,
        ReadingsLeftOut = estimate.ReadingsLeftOut,
        RowsEmpty = rowsEmpty,
        OnsetS = estimate.OnsetSeconds,
        DelayS = estimate.DelaySeconds,
        OffsetC = estimate.OffsetCelsius,
    };

    public string ToJson() => JsonSerializer.Serialize(this, Options);

    public void WriteText(TextWriter writer)
    {
        void Line(FormattableString text) => writer.WriteLine(text.ToString(CultureInfo.InvariantCulture));
        Line($"{Trace}: time constant {Rounded(TimeConstantS)} s, standard uncertainty {Rounded(StandardUncertaintyS)} s (k = 1)");
        Line($"  found from     {Story()}");
        Line($"  scatter        {ScatterC:0.000} °C about the fit; much above the thermometer's own noise would mean that the lag is not one exponential");
        Line($"  readings       {ReadingsUsed} used, {ReadingsLeftOut} left out as wild, {RowsEmpty} rows empty");
        if (DelayS is > 0)
        {
            Line($"  delay          {Rounded(DelayS.Value)} s more until the response is one exponential; on a ramp both count");
        }

        if (OffsetC is { } offset)
        {
            Line($"  offset         reads {Math.Abs(offset):0.000} °C {(offset < 0 ? "below" : "above")} the reference at rest");
        }

        Line($"  at {RateCelsiusPerMinute} °C/min  reads {LagC:0.00} °C too low, standard uncertainty {LagStandardUncertaintyC:G2} °C");
        Line($"  in acquire.json, at the tester's thermometer: \"lag\": {{ \"timeConstantSeconds\": {Rounded(BehindRampS)}, \"correct\": false }}");
        foreach (var note in Notes)
        {
            writer.WriteLine("  " + note);
        }
    }

    // To two digits of the uncertainty: more would be noise in a configuration.
    private string Rounded(double seconds)
    {
        var digits = Math.Clamp(1 - (int)Math.Floor(Math.Log10(Math.Max(StandardUncertaintyS, 1e-6))), 0, 3);
        return Math.Round(seconds, digits).ToString("F" + digits.ToString(CultureInfo.InvariantCulture), CultureInfo.InvariantCulture);
    }

    private string Story() => FoundFrom switch
    {
        LagWay.Step => string.Create(CultureInfo.InvariantCulture, $"a step at {OnsetS:0.0} s"),
        LagWay.Ramp => "a reference thermometer beside it",
        _ => string.Create(CultureInfo.InvariantCulture, $"a ramp from rest that began at {OnsetS:0.0} s"),
    };
}
