namespace Acquire.Service.Configuration.Parsing;

/// <summary>Reads the sources that testers share, and which tester is given which.</summary>
internal static class AmbientReader
{
    private const string Key = "ambient";
    private const int MostStations = 64;
    private const int MostNamed = 8;
    private const double UsualStaleSeconds = 60;

    /// <summary>The sources of the file, in its order.</summary>
    public static List<AmbientConfig> Read(ConfigObject root)
    {
        var stations = new List<AmbientConfig>();
        foreach (var section in root.Sections(Key, 0, MostStations))
        {
            var id = TesterReader.ReadId(section);
            stations.Add(new()
            {
                Written = section.Written,
                Id = id,
                Name = section.Text("name", section.Has("name") ? null : id, 80) ?? id,
                StaleAfterSeconds = section.Number("staleAfterSeconds", 1, 3600, "s", optional: true) ?? UsualStaleSeconds,
                Source = TesterReader.ReadSource(section.Section("source", optional: false), new() { IsAmbient = true }, id),
            });
            section.RefuseUnknownKeys();
        }

        return stations;
    }

    /// <summary>The ids of the sources that a tester is given.</summary>
    public static IReadOnlyList<string> ReadNamed(ConfigObject tester) => tester.Texts(Key, MostNamed, 40, "the id of an object of the list \"ambient\" of the file");

    /// <summary>Holds what each tester names against what there is: each channel has one origin.</summary>
    public static void Check(ConfigObject root, IReadOnlyList<TesterConfig> testers, IReadOnlyList<AmbientConfig> stations)
    {
        for (var index = 0; index < testers.Count; index++)
        {
            var origins = testers[index].Source.Channels.Distinct().ToDictionary(channel => channel, _ => "the tester itself");
            foreach (var (place, id) in testers[index].Ambient.Index())
            {
                var path = FormattableString.Invariant($"testers[{index}].{Key}[{place}]");
                if (stations.FirstOrDefault(station => station.Id == id) is not { } station)
                {
                    var ids = stations.Select(known => known.Id).Where(known => known.Length > 0).ToArray();
                    var nearest = NearestKey.Find(id, ids);
                    root.Refuse(path, $"given \"{JsonText.Shown(id)}\"; allowed: {(ids.Length == 0 ? "nothing, the file has no list \"ambient\"" : "one of " + string.Join(", ", ids.Select(known => $"\"{known}\"")))}{(nearest is null ? "" : $"; did you mean \"{nearest}\"?")}");
                    continue;
                }

                foreach (var channel in station.Source.Channels.Where(channel => channel != ReadingChannel.Ignore).Distinct())
                {
                    if (!origins.TryAdd(channel, $"\"{id}\""))
                    {
                        root.Refuse(path, $"\"{id}\" gives \"{ChannelReader.Word(channel)}\", and so does {origins[channel]}; allowed: one origin for each channel of a tester");
                    }
                }
            }
        }
    }
}
