using Acquire.Service.Sources.Modbus;

namespace Acquire.Service.Configuration.Parsing;

/// <summary>Holds the Modbus sources that share a serial line against each other: one port is opened in one way, by one reader, and carries only so much.</summary>
internal static class ModbusLines
{
    /// <summary>Checks all testers.</summary>
    /// <param name="root">Where mistakes are noted.</param>
    /// <param name="testers">All testers, in the order of the file.</param>
    public static void Check(ConfigObject root, IReadOnlyList<TesterConfig> testers)
    {
        var lines = new Dictionary<string, Line>(StringComparer.Ordinal);
        var texts = testers.Select(tester => tester.Source).OfType<SourceConfig.Serial>().Select(serial => serial.Port).ToHashSet(StringComparer.Ordinal);
        for (var index = 0; index < testers.Count; index++)
        {
            if (testers[index].Source is not SourceConfig.Modbus { Wire: ModbusWire.Rtu { Settings: { Port.Length: > 0 } settings } } source)
            {
                continue;
            }

            if (texts.Contains(settings.Port))
            {
                root.Refuse($"testers[{index}].source.port", $"given \"{JsonText.Shown(settings.Port)}\"; a tester of the kind \"serial\" reads this port. Allowed: a port of its own, or one of other Modbus units");
            }

            if (!lines.TryGetValue(settings.Port, out var line))
            {
                lines[settings.Port] = line = new(index, settings);
            }

            CheckSame(root, index, settings, line);
            CheckLoad(root, index, source, line);
        }
    }

    private static void CheckSame(ConfigObject root, int index, PortSettings given, Line line)
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
                root.Refuse($"testers[{index}].source.{key}", $"differs from testers[{line.First}].source.{key}, and both share the port \"{JsonText.Shown(given.Port)}\". Allowed: the same for all units of a line");
            }
        }
    }

    // Requests, answers and the silences around them; what the units need to think of an answer comes on top and is not known.
    private static void CheckLoad(ConfigObject root, int index, SourceConfig.Modbus source, Line line)
    {
        var seconds = PollPlan.Make(source).Sum(poll => line.Settings.SecondsFor(RtuFrames.CharactersOnWire(poll.Request)));
        var before = line.Load;
        line.Load += seconds * 1000 / source.PeriodMilliseconds;
        if (line.Load > 1 && before <= 1)
        {
            var needed = before < 1 ? Math.Ceiling(seconds * 1000 / (1 - before)) : double.PositiveInfinity;
            root.Refuse($"testers[{index}].source.periodMilliseconds", FormattableString.Invariant($"given {source.PeriodMilliseconds}; at {line.Settings.BaudRate} baud one round of its requests and answers takes {seconds * 1000:0} ms{(before > 0 ? FormattableString.Invariant($", and other testers take {before * 100:0} % of the line") : "")}. Allowed: at least {needed:0}, a higher baudRate, or fewer registers"));
        }
    }

    private sealed class Line(int first, PortSettings settings)
    {
        public int First => first;

        public PortSettings Settings => settings;

        public double Load { get; set; }
    }
}
