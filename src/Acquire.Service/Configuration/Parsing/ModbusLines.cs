using Acquire.Service.Sources.Modbus;

namespace Acquire.Service.Configuration.Parsing;

/// <summary>Holds the Modbus sources that share a serial line against each other: one port is opened in one way, by one reader, and carries only so much.</summary>
internal static class ModbusLines
{
    /// <summary>Checks all sources.</summary>
    /// <param name="root">Where mistakes are noted.</param>
    /// <param name="config">The file.</param>
    public static void Check(ConfigObject root, AcquireConfig config)
    {
        var lines = new Dictionary<string, Line>(StringComparer.Ordinal);
        var texts = AcquireReader.Sources(config).Select(one => one.Source).OfType<SourceConfig.Serial>().Select(serial => serial.Port).ToHashSet(StringComparer.Ordinal);
        foreach (var (path, given) in AcquireReader.Sources(config))
        {
            if (given is not SourceConfig.Modbus { Wire: ModbusWire.Rtu { Settings: { Port.Length: > 0 } settings } } source)
            {
                continue;
            }

            if (texts.Contains(settings.Port))
            {
                root.Refuse($"{path}.port", $"given \"{JsonText.Shown(settings.Port)}\"; a tester of the kind \"serial\" reads this port. Allowed: a port of its own, or one of other Modbus units");
            }

            if (!lines.TryGetValue(settings.Port, out var line))
            {
                lines[settings.Port] = line = new(path, settings);
            }

            CheckSame(root, path, settings, line);
            CheckLoad(root, path, source, line);
        }
    }

    private static void CheckSame(ConfigObject root, string path, PortSettings given, Line line)
    {
        foreach (var (key, same) in new[]
        {
            ("baudRate", given.BaudRate == line.Settings.BaudRate),
            ("parity", given.Parity == line.Settings.Parity),
            ("stopBits", given.StopBits == line.Settings.StopBits),
        })
        {
            if (!same)
            {
                root.Refuse($"{path}.{key}", $"differs from {line.First}.{key}, and both share the port \"{JsonText.Shown(given.Port)}\". Allowed: the same for all units of a line");
            }
        }
    }

    // Requests, answers and the silences around them; what the units need to think of an answer comes on top and is not known.
    private static void CheckLoad(ConfigObject root, string path, SourceConfig.Modbus source, Line line)
    {
        var seconds = PollPlan.Make(source).Sum(poll => line.Settings.SecondsFor(RtuFrames.CharactersOnWire(poll.Request)));
        var before = line.Load;
        line.Load += seconds * 1000 / source.PeriodMilliseconds;
        if (line.Load > 1 && before <= 1)
        {
            var needed = before < 1 ? Math.Ceiling(seconds * 1000 / (1 - before)) : double.PositiveInfinity;
            root.Refuse($"{path}.periodMilliseconds", FormattableString.Invariant($"given {source.PeriodMilliseconds}; at {line.Settings.BaudRate} baud one round of its requests and answers takes {seconds * 1000:0} ms{(before > 0 ? FormattableString.Invariant($", and other testers take {before * 100:0} % of the line") : "")}. Allowed: at least {needed:0}, a higher baudRate, or fewer registers"));
        }
    }

    private sealed class Line(string first, PortSettings settings)
    {
        public string First => first;

        public PortSettings Settings => settings;

        public double Load { get; set; }
    }
}
