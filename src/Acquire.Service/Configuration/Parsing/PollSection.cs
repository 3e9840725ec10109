using Acquire.Service.Sources;

namespace Acquire.Service.Configuration.Parsing;

/// <summary>Reads how a tester on a serial line is asked.</summary>
internal static class PollSection
{
    private const string Key = "poll";
    private const int MostCommands = 16;
    private const int LongestCommand = 64;

    public static PollConfig? Read(ConfigObject source, ThermometerWiring wiring)
    {
        if (source.Section(Key, optional: true) is not { } section)
        {
            return null;
        }

        foreach (var key in new[] { "columns", "pattern", "groups" })
        {
            source.Forbid(key, "is given beside poll; allowed: within each of poll.commands, whose answer it describes");
        }

        var commands = new List<PollCommand>();
        foreach (var given in section.Sections("commands", 1, MostCommands))
        {
            commands.Add(new(ReadSend(given), LayoutReader.Read(given, wiring, polled: true)));
            given.RefuseUnknownKeys();
        }

        var poll = new PollConfig(commands, section.Whole("periodMilliseconds", 10, 60_000, 500), section.Whole("timeoutMilliseconds", 20, 5000, 500));
        section.RefuseUnknownKeys();
        return poll;
    }

    private static byte[] ReadSend(ConfigObject command)
    {
        const string SendKey = "send";
        const string Allowed = "1 to 64 bytes as " + WireText.Allowed + "; in JSON each backslash is written twice, such as \"READ\\\\r\"";
        if (command.Text(SendKey, null, 4 * LongestCommand, Allowed) is not { } text)
        {
            return [];
        }

        if (WireText.TryUnescape(text, out var bytes) && bytes.Length is >= 1 and <= LongestCommand)
        {
            return bytes;
        }

        command.Refuse(SendKey, $"given \"{JsonText.Shown(text)}\"; allowed: {Allowed}");
        return [];
    }
}
