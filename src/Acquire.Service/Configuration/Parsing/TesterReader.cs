using Acquire.Core.Methods;
using Acquire.Core.Runs;
using Acquire.Service.Live;

namespace Acquire.Service.Configuration.Parsing;

/// <summary>Reads one tester.</summary>
internal static class TesterReader
{
    private const string AllowedId = "1 to 40 lower-case letters, digits and hyphens, beginning and ending with a letter or digit";

    private enum Kind
    {
        Serial,
        Mqtt,
        ModbusRtu,
        ModbusTcp,
    }

    private static readonly Dictionary<string, RunMode> Modes = new() { ["observed"] = RunMode.Observed, ["guided"] = RunMode.Guided, ["driven"] = RunMode.Driven };
    private static readonly Dictionary<string, Kind> Kinds = new() { ["serial"] = Kind.Serial, ["mqtt"] = Kind.Mqtt, ["modbus-rtu"] = Kind.ModbusRtu, ["modbus-tcp"] = Kind.ModbusTcp };

    /// <summary>Reads the section of one tester.</summary>
    /// <param name="tester">The section.</param>
    /// <param name="ownMethods">Whether the file names a folder of methods: whether a method is known is then asked once they are read.</param>
    public static TesterConfig Read(ConfigObject tester, bool ownMethods)
    {
        var id = ReadId(tester);
        tester.TryChoice("mode", Modes, "observed", out var mode);
        var wiring = new ThermometerWiring();
        var config = new TesterConfig
        {
            Written = tester.Written,
            Id = id,
            Name = tester.Text("name", tester.Has("name") ? null : id, 80) ?? id,
            QueueCapacity = tester.Whole("queueCapacity", 16, 1_000_000, 65_536),
            StaleAfterSeconds = tester.Number("staleAfterSeconds", 0.5, 300, "s", optional: true) ?? 3,
            Mode = mode,
            PromptLeadSeconds = ReadPromptLead(tester, mode),
            Figures = FiguresSection.Read(tester),
            AutoStart = ReadAutoStart(tester.Section("autoStart", optional: true), ownMethods),
            Capture = ReadCapture(tester.Section("capture", optional: true)),
            Ambient = AmbientReader.ReadNamed(tester),
            Source = ReadSource(tester.Section("source", optional: false), wiring, id),
        };
        config = config with { Thermometer = TesterThermometer.Read(tester, wiring), Drive = DriveSection.Read(tester, config) };
        tester.RefuseUnknownKeys();
        return config;
    }

    /// <summary>Reads the id of a section.</summary>
    public static string ReadId(ConfigObject section)
    {
        var id = section.Text("id", null, 40, AllowedId) ?? "";
        if (id.Length > 0 && !IsId(id))
        {
            section.Refuse("id", $"given \"{JsonText.Shown(id)}\"; allowed: {AllowedId}");
        }

        return id;
    }

    private static bool IsId(string id) =>
        id.All(character => char.IsAsciiLetterLower(character) || char.IsAsciiDigit(character) || character == '-') && id[0] != '-' && id[^1] != '-';

    private static CaptureConfig? ReadCapture(ConfigObject? section)
    {
        if (section is null)
        {
            return null;
        }

        var capture = new CaptureConfig(
            section.Whole("largestMegabytes", 1, 1000, CaptureConfig.UsualMegabytes),
            section.Gives("keepDays") ? section.Whole("keepDays", 1, 36_500, null) : null);
        section.RefuseUnknownKeys();
        return capture;
    }

    private static double ReadPromptLead(ConfigObject tester, RunMode mode)
    {
        const string Key = "promptLeadSeconds";
        if (mode != RunMode.Guided && tester.Has(Key))
        {
            tester.Refuse(Key, "only a tester of the mode \"guided\" asks a person for applications");
        }

        var range = RunPlan.PromptLeadRangeSeconds;
        return tester.Number(Key, range.From, range.To, "s", optional: true) ?? RunPlan.UsualPromptLeadSeconds;
    }

    private static StartRunRequest? ReadAutoStart(ConfigObject? section, bool ownMethods)
    {
        if (section is null)
        {
            return null;
        }

        var methodId = section.Text("methodId", null, 80);
        if (methodId is not null && !ownMethods && !MethodCatalog.TryFind(methodId, out _))
        {
            section.Refuse("methodId", MethodCatalog.Unknown("methodId", JsonText.Shown(methodId)).Message);
        }

        var (flash, pressure) = (RunPlan.ExpectedFlashRangeCelsius, RunPlan.StationPressureRangeKilopascals);
        var request = new StartRunRequest(
            methodId ?? "",
            section.Number("expectedFlashCelsius", flash.From, flash.To, "°C", optional: false) ?? 0,
            section.Number("stationPressureKilopascals", pressure.From, pressure.To, "kPa", optional: true),
            section.Text("specimen", null, 80) ?? "",
            Material: section.Has("material") ? section.Text("material", null, 80) : null);
        section.RefuseUnknownKeys();
        return request;
    }

    /// <summary>Reads a source of any kind.</summary>
    public static SourceConfig ReadSource(ConfigObject? section, ThermometerWiring wiring, string id)
    {
        var empty = new SourceConfig.Mqtt { Topics = [] };
        if (section is null || !section.TryChoice("kind", Kinds, null, out var kind))
        {
            return empty;
        }

        return kind switch
        {
            Kind.Serial => SerialReader.Read(section, wiring),
            Kind.Mqtt => MqttSourceReader.Read(section, wiring, id),
            _ => ModbusReader.Read(section, wiring, overNetwork: kind == Kind.ModbusTcp),
        };
    }
}
