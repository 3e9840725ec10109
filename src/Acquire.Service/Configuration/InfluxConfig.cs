using System.Globalization;

namespace Acquire.Service.Configuration;

/// <summary>The InfluxDB endpoint that the archive is handed on to. Its text never holds the token.</summary>
public sealed record InfluxConfig
{
    /// <summary>Most lines in one request.</summary>
    public const int MostBatchLines = 5000;

    /// <summary>Time for one request where nothing else is said, s.</summary>
    public const int UsualTimeoutSeconds = 10;

    /// <summary>Lag that is alarmed where nothing else is said, s.</summary>
    public const int UsualLagAlarmSeconds = 300;

    /// <summary>Address of the server, `http://` or `https://`, with the path before `/api/v2` where there is one.</summary>
    public required Uri Url { get; init; }

    /// <summary>Organisation that owns the bucket, 1 to 200 characters.</summary>
    public required string Org { get; init; }

    /// <summary>Bucket that is written to, 1 to 200 characters.</summary>
    public required string Bucket { get; init; }

    /// <summary>File that holds the token; null where it is elsewhere, or none is asked for.</summary>
    public string? TokenFile { get; init; }

    /// <summary>Environment variable that holds the token; null where it is elsewhere, or none is asked for.</summary>
    public string? TokenVariable { get; init; }

    /// <summary>PEM file with the authorities that alone are trusted; null for those of the machine.</summary>
    public string? CaFile { get; init; }

    /// <summary>Lines in one request at most; 1 to <see cref="MostBatchLines"/>.</summary>
    public int BatchLines { get; init; } = MostBatchLines;

    /// <summary>How long one request may take, the connection included, s; 1 to 120.</summary>
    public int TimeoutSeconds { get; init; } = UsualTimeoutSeconds;

    /// <summary>Lag from which on it is alarmed, s; 10 to 86,400.</summary>
    public int LagAlarmSeconds { get; init; } = UsualLagAlarmSeconds;

    /// <inheritdoc/>
    public override string ToString() => string.Create(CultureInfo.InvariantCulture, $"{Url} (org '{Org}', bucket '{Bucket}')");
}
