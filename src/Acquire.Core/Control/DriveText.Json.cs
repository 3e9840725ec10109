using System.Diagnostics.CodeAnalysis;
using System.Globalization;
using System.Text.Json;
using System.Text.Json.Serialization;

namespace Acquire.Core.Control;

public static partial class DriveText
{
    private static readonly JsonSerializerOptions Strict = new()
    {
        PropertyNamingPolicy = JsonNamingPolicy.CamelCase,
        UnmappedMemberHandling = JsonUnmappedMemberHandling.Disallow,
        AllowDuplicateProperties = false,
        RespectRequiredConstructorParameters = true,
        MaxDepth = 4,
    };

    /// <summary>The MQTT payload: `{"sequence":1,"lifetimeMilliseconds":1500,"heater":0.375,"flame":0,"stirrer":1}`, heater to four decimals.</summary>
    /// <param name="command">The command.</param>
    /// <exception cref="ArgumentOutOfRangeException">A figure is outside its range: whoever made the command let it through.</exception>
    public static string ToJson(DriveCommand command)
    {
        ThrowIfOutside(command);
        return string.Create(CultureInfo.InvariantCulture,
            $$"""{"sequence":{{command.Sequence}},"lifetimeMilliseconds":{{command.LifetimeMilliseconds}},"heater":{{command.HeaterFraction:0.####}},"flame":{{(command.FlameOver ? 1 : 0)}},"stirrer":{{(command.StirrerOn ? 1 : 0)}}}""");
    }

    /// <summary>Reads an MQTT payload.</summary>
    /// <param name="json">Its bytes, UTF-8.</param>
    /// <param name="command">The command; null on failure.</param>
    /// <param name="error">The field and what it may hold; null on success.</param>
    public static bool TryParseJson(ReadOnlySpan<byte> json, [NotNullWhen(true)] out DriveCommand? command, [NotNullWhen(false)] out InputError? error)
    {
        (command, error) = (null, null);
        try
        {
            error = JsonSerializer.Deserialize<Payload>(json, Strict) is { } payload ? Take(payload, out command) : Unread("$");
        }
        catch (JsonException exception)
        {
            error = Unread(exception.Path is null or "$" ? "$" : exception.Path.Replace("$.", "", StringComparison.Ordinal));
        }

        return command is not null;
    }

    private static InputError Unread(string path) =>
        new(path, "is not the JSON that was expected: an object with sequence, lifetimeMilliseconds, heater, flame and stirrer, each a number, once, and nothing else");

    private static InputError? Take(Payload payload, out DriveCommand? command)
    {
        var error = payload.Sequence < 0 ? new InputError("sequence", "is below 0")
            : payload.LifetimeMilliseconds is < DriveCommand.ShortestLifetimeMilliseconds or > DriveCommand.LongestLifetimeMilliseconds ? new("lifetimeMilliseconds", $"is outside its range; allowed: {AllowedLifetime}")
            : !(payload.Heater is >= 0 and <= 1) ? new("heater", "is not within 0 to 1")
            : payload.Flame is not (0 or 1) ? new("flame", "is neither 0 nor 1")
            : payload.Stirrer is not (0 or 1) ? new InputError("stirrer", "is neither 0 nor 1")
            : null;
        command = error is null ? new(payload.Sequence, payload.LifetimeMilliseconds, payload.Heater, payload.Flame == 1, payload.Stirrer == 1) : null;
        return error;
    }

    private sealed record Payload(long Sequence, int LifetimeMilliseconds, double Heater, int Flame, int Stirrer);
}
