namespace Acquire.Service.Tests.Configuration;

/// <summary>Pieces of files for tests.</summary>
internal static class ConfigSamples
{
    private const string Columns = """ "columns": [ { "channel": "temperature", "unit": "degC" } ] """;

    /// <summary>A file with one serial tester; <paramref name="more"/> goes into its source.</summary>
    public static string Serial(string more = "", string port = "/dev/none", string columns = Columns) =>
        Tester($$""" "kind": "serial", "port": "{{port}}", {{columns}} {{(more.Length > 0 ? ", " + more : "")}} """);

    /// <summary>A file with one MQTT tester.</summary>
    public static string Mqtt(string topics, string mqtt = """{ "mode": "embedded" }""") =>
        Tester($$""" "kind": "mqtt", "topics": [ {{topics}} ] """, mqtt: mqtt);

    /// <summary>A file with one tester.</summary>
    public static string Tester(string source, string more = "", string mqtt = "{}") =>
        $$"""{ "mqtt": {{mqtt}}, "testers": [ { "id": "bench-1", {{more}} "source": { {{source}} } } ] }""";

    public static string RepositoryRoot()
    {
        var folder = AppContext.BaseDirectory;
        while (!File.Exists(Path.Combine(folder, "Acquire.sln")))
        {
            folder = Path.GetDirectoryName(folder) ?? throw new InvalidOperationException("The tests do not run inside the repository.");
        }

        return folder;
    }
}
