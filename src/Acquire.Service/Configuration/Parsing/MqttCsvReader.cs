namespace Acquire.Service.Configuration.Parsing;

/// <summary>Reads how the lines of a message are cut into columns.</summary>
internal static class MqttCsvReader
{
    private const int MostColumns = 64;
    private static readonly Dictionary<string, char> Separators = new() { [","] = ',', [";"] = ';', ["\t"] = '\t', [" "] = ' ' };
    private static readonly Dictionary<string, char> Points = new() { ["."] = '.', [","] = ',' };

    /// <summary>A topic without its filter.</summary>
    public static TopicConfig.Csv Read(ConfigObject section, ThermometerWiring wiring)
    {
        section.TryChoice("separator", Separators, ",", out var separator);
        section.TryChoice("decimalSeparator", Points, ".", out var point);
        if (separator == point)
        {
            section.Refuse("decimalSeparator", "given \",\" for both separators; allowed: another separator");
        }

        var columns = new List<ColumnConfig>();
        foreach (var column in section.Sections("columns", 1, MostColumns))
        {
            var (channel, unit) = ChannelReader.ReadMessageColumn(column, wiring);
            columns.Add(new(channel, unit));
            column.RefuseUnknownKeys();
        }

        MqttSourceReader.CheckRow(section, "columns", [.. columns.Select(column => column.Channel)]);
        return new TopicConfig.Csv("", separator, point, columns);
    }
}
