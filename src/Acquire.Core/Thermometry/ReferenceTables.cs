using System.Text.Json;

namespace Acquire.Core.Thermometry;

/// <summary>The published coefficients of all letter types, as they stand in the embedded file, with their source.</summary>
/// <remarks>Data rather than code: the file can be compared with its source by a program, and it is read once, so nothing that converts a reading ever waits for it.</remarks>
internal sealed record ReferenceTables(string Source, string Units, string Forward, string Inverse, IReadOnlyDictionary<ThermocoupleType, ReferenceTable> Types)
{
    private static readonly JsonSerializerOptions Options = new(JsonSerializerDefaults.Web)
    {
        UnmappedMemberHandling = System.Text.Json.Serialization.JsonUnmappedMemberHandling.Disallow,
        NumberHandling = System.Text.Json.Serialization.JsonNumberHandling.Strict,
        RespectNullableAnnotations = true,
        RespectRequiredConstructorParameters = true,
    };

    /// <summary>Reads the embedded file.</summary>
    public static ReferenceTables Load()
    {
        using var stream = typeof(ReferenceTables).Assembly.GetManifestResourceStream("thermometry/its90.json")!;
        return JsonSerializer.Deserialize<ReferenceTables>(stream, Options)!;
    }
}

/// <summary>The functions of one letter type.</summary>
internal sealed record ReferenceTable(IReadOnlyList<ForwardRow> Forward, IReadOnlyList<InverseRow> Inverse);

/// <summary>Emf from temperature over one subrange: coefficients by rising power.</summary>
internal sealed record ForwardRow(double LowestCelsius, double HighestCelsius, double[] C, ExponentialRow? Exponential = null);

/// <summary>The term a0 exp(a1 (t - a2)²), mV, of type K above 0 °C.</summary>
internal sealed record ExponentialRow(double A0, double A1, double A2);

/// <summary>Approximate temperature from emf over one subrange, with the stated range of its error: coefficients by rising power.</summary>
internal sealed record InverseRow(
    double LowestCelsius, double HighestCelsius, double LowestMillivolts, double HighestMillivolts, double LowestErrorCelsius, double HighestErrorCelsius, double[] D);
