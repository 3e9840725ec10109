using System.Globalization;
using System.Text.Json;
using Acquire.Service.CommandLine;
using Xunit;

namespace Acquire.Service.Tests.CommandLine;

public sealed class ConvertCommandTests
{
    // Coefficients often quoted for a thermistor of 10 kohm at 25 °C: value from memory.
    private static readonly string[] Ntc = ["--ntc-a", "1.129241e-3", "--ntc-b", "2.341077e-4", "--ntc-c", "8.775468e-8"];

    // Printed values, mV, reference junction 0 °C: NIST SRD 60 tables; half the last digit is 0.0005 mV.
    [Theory]
    [InlineData("K", 4.096, 100)]
    [InlineData("K", 1.000, 25)]
    [InlineData("J", 5.269, 100)]
    [InlineData("T", 4.279, 100)]
    [InlineData("E", 6.319, 100)]
    [InlineData("N", 2.774, 100)]
    [InlineData("R", 10.506, 1000)]
    [InlineData("S", 9.587, 1000)]
    [InlineData("B", 4.834, 1000)]
    public void A_printed_emf_and_its_temperature_belong_together(string type, double millivolts, double celsius)
    {
        var there = Json("--type", type, "--emf-mv", Text(millivolts));
        Assert.Equal(type, there.GetProperty("type").GetString());
        Assert.Equal(celsius, Number(there, "temperature_c"), 0.00051 * 1000 / Number(there, "sensitivity_uv_per_c"));
        Assert.Equal(0, Number(there, "reference_junction_c"));
        var back = Json("--temperature-c", Text(celsius), "--to", type);
        Assert.Equal(millivolts, Number(back, "emf_mv"), 0.00051);
        Assert.Equal(Number(back, "emf_mv") * 1000, Number(back, "emf_uv"), 1e-9);
        var micro = Json("--type", type, "--emf-uv", Text(Number(back, "emf_uv")));
        Assert.Equal(celsius, Number(micro, "temperature_c"), 1e-6);
    }

    [Fact]
    public void The_reference_junction_counts_as_emf_and_not_as_temperature()
    {
        // NIST SRD 60, type K: 1.000 mV at 25 °C and 4.096 mV at 100 °C. Adding temperatures would give 75.9 + 25 °C = 101 °C.
        var there = Json("--type", "K", "--emf-mv", "3.096", "--reference-junction-c", "25");
        Assert.Equal(100, Number(there, "temperature_c"), 0.025);
        Assert.Equal(25, Number(there, "reference_junction_c"));
        var back = Json("--temperature-c", "100", "--to", "K", "--reference-junction-c", "25");
        Assert.Equal(3.096, Number(back, "emf_mv"), 0.001);
        var text = Words("--type", "K", "--emf-mv", "3.096", "--reference-junction-c", "25");
        Assert.Contains("counts as 1.0002 mV", text, StringComparison.Ordinal);
    }

    // Printed values, ohm: tables of IEC 60751; half the last digit is 0.005 ohm.
    [Theory]
    [InlineData("Pt100", 138.51, 100)]
    [InlineData("Pt100", 100, 0)]
    [InlineData("Pt100", 18.52, -200)]
    [InlineData("Pt100", 186.84, 230)]
    [InlineData("Pt100", 390.48, 850)]
    [InlineData("pt500", 692.53, 100)]
    [InlineData("Pt1000", 1385.1, 100)]
    public void A_printed_resistance_and_its_temperature_belong_together(string type, double ohms, double celsius)
    {
        var there = Json("--type", type, "--ohms", Text(ohms));
        var half = 0.00005 * double.Parse(type[2..], CultureInfo.InvariantCulture) * 1.01;
        Assert.Equal(celsius, Number(there, "temperature_c"), half / Number(there, "sensitivity_ohm_per_c"));
        Assert.Equal(ohms, Number(there, "ohms"));
        var kilo = Json("--type", type, "--kohms", Text(ohms / 1000));
        Assert.Equal(Number(there, "temperature_c"), Number(kilo, "temperature_c"), 1e-9);
        Assert.Equal(ohms, Number(Json("--temperature-c", Text(celsius), "--to", type), "ohms"), half);
    }

    [Fact]
    public void A_thermistor_goes_there_and_back_and_falls_as_it_should()
    {
        var there = Json(["--type", "ntc", "--ohms", "10000", .. Ntc]);
        Assert.Equal(25, Number(there, "temperature_c"), 0.001);
        var warmer = Json(["--temperature-c", "25.01", "--to", "ntc", .. Ntc]);
        var colder = Json(["--temperature-c", "24.99", "--to", "ntc", .. Ntc]);
        Assert.Equal((Number(warmer, "ohms") - Number(colder, "ohms")) / 0.02, Number(there, "sensitivity_ohm_per_c"), 0.01);
    }

    [Theory]
    [InlineData("4-20-ma", "--ma", 12, 200, "signal_ma")]
    [InlineData("4-20-ma", "--ma", 4, 0, "signal_ma")]
    [InlineData("0-10-v", "--volts", 5, 200, "signal_v")]
    [InlineData("0-10-v", "--volts", 10, 400, "signal_v")]
    public void A_transmitter_is_a_straight_line(string type, string option, double signal, double celsius, string name)
    {
        var there = Json("--type", type, option, Text(signal), "--low-c", "0", "--high-c", "400");
        Assert.Equal(celsius, Number(there, "temperature_c"), 1e-9);
        var back = Json("--temperature-c", Text(celsius), "--to", type, "--low-c", "0", "--high-c", "400");
        Assert.Equal(signal, Number(back, name), 1e-9);
    }

    [Fact]
    public void Every_answer_shows_all_three_units_of_temperature_so_that_K_misleads_nobody()
    {
        var json = Json("--temperature-c", "100", "--to", "K");
        Assert.Equal(4.096, Number(json, "emf_mv"), 0.0005);
        Assert.Equal(373.15, Number(json, "temperature_k"));
        Assert.Equal(212, Number(json, "temperature_f"));
        var text = Words("--temperature-c", "100", "--to", "K");
        Assert.StartsWith("type K, 100.000 °C (373.150 K, 212.000 °F), reference junction 0 °C: 4.0962 mV (4096.2 µV); 41.4 µV/°C; ", text, StringComparison.Ordinal);
    }

    [Fact]
    public void Tolerances_are_told_with_the_marks_of_their_figures()
    {
        var couple = Words("--type", "K", "--emf-mv", "4.096", "--reference-junction-c", "0");
        Assert.EndsWith("IEC 60584-1 tolerance class 1 ±1.50 °C, class 2 ±2.50 °C (value from memory)\n", couple.ReplaceLineEndings("\n"), StringComparison.Ordinal);

        // IEC 60751 at 200 °C: 0.1 + 0.0017·200 = 0.44, 0.15 + 0.002·200 = 0.55, 0.3 + 0.005·200 = 1.3; C, 0.6 + 0.01·200 = 2.6, from memory.
        var platinum = Json("--temperature-c", "200", "--to", "Pt100");
        var tolerances = platinum.GetProperty("tolerances").EnumerateArray().Select(one => (Class: one.GetProperty("class").GetString(), Value: Number(one, "plus_minus_c"), Remark: one.GetProperty("remark").GetString()!)).ToArray();
        Assert.Equal(["AA", "A", "B", "C"], tolerances.Select(one => one.Class));
        Assert.Equal([0.44, 0.55, 1.3, 2.6], tolerances.Select(one => Math.Round(one.Value, 9)));
        Assert.StartsWith("wire-wound only", tolerances[0].Remark, StringComparison.Ordinal);
        Assert.Equal("value from memory", tolerances[3].Remark);

        // At 650 °C no class holds.
        Assert.Empty(Json("--temperature-c", "650", "--to", "Pt100").GetProperty("tolerances").EnumerateArray());
    }

    [Fact]
    public void What_does_not_go_with_the_sensor_is_not_printed()
    {
        var json = Json("--type", "Pt100", "--ohms", "120");
        Assert.False(json.TryGetProperty("emf_mv", out _));
        Assert.False(json.TryGetProperty("reference_junction_c", out _));
        Assert.False(json.TryGetProperty("signal_ma", out _));
    }

    [Theory]
    [InlineData("--type", "missing", "--to")]
    [InlineData("--to", "does not go with --type", "--temperature-c", "--type", "K", "--to", "K", "--emf-mv", "1")]
    [InlineData("--type", "Pt100, Pt500, Pt1000", "4-20-ma", "--type", "Q", "--emf-mv", "1")]
    [InlineData("--type", "B, E, J, K, N, R, S, T", "\"3\"", "--type", "3", "--emf-mv", "1")]
    [InlineData("--type", "10 to 10000 ohm", "\"Pt5\"", "--type", "Pt5", "--ohms", "1")]
    [InlineData("--to", "10 to 10000 ohm", "\"Pt\"", "--to", "Pt", "--temperature-c", "1")]
    [InlineData("--temperature-c", "--to", "", "--type", "K", "--temperature-c", "1")]
    [InlineData("--emf-mv", "does not go with --to", "--type", "--to", "K", "--emf-mv", "1")]
    [InlineData("--temperature-c", "missing", "", "--to", "K")]
    [InlineData("--emf-mv", "missing", "--emf-mv or --emf-uv", "--type", "K")]
    [InlineData("--emf-uv", "does not go with --emf-mv", "", "--type", "K", "--emf-mv", "1", "--emf-uv", "1000")]
    [InlineData("--emf-mv", "does not go with Pt100", "--ohms or --kohms", "--type", "Pt100", "--emf-mv", "1")]
    [InlineData("--reference-junction-c", "does not go with Pt100", "--ohms", "--type", "Pt100", "--ohms", "110", "--reference-junction-c", "25")]
    [InlineData("--reference-junction-c", "2000", "-270 to 1372 °C", "--type", "K", "--emf-mv", "1", "--reference-junction-c", "2000")]
    [InlineData("--emf-mv", "54.886 mV", "-270 to 1372 °C", "--type", "K", "--emf-mv", "60")]
    [InlineData("--emf-mv", "makes 55.0002 mV", "54.886", "--type", "K", "--emf-mv", "54", "--reference-junction-c", "25")]
    [InlineData("--emf-mv", "0.291", "the same emf at two temperatures", "--type", "B", "--emf-mv", "0.29")]
    [InlineData("--temperature-c", "-270 to 1372 °C", "", "--to", "K", "--temperature-c", "1400")]
    [InlineData("--ohms", "18.52", "390.48", "--type", "Pt100", "--ohms", "400")]
    [InlineData("--temperature-c", "-200 to 850 °C", "", "--to", "Pt100", "--temperature-c", "900")]
    [InlineData("--ma", "signals a failure", "3.8 to 20.5 mA", "--type", "4-20-ma", "--ma", "3.5", "--low-c", "0", "--high-c", "400")]
    [InlineData("--ma", "signals a failure", "NE 43", "--type", "4-20-ma", "--ma", "21.5", "--low-c", "0", "--high-c", "400")]
    [InlineData("--ma", "wire is broken", "", "--type", "4-20-ma", "--ma", "0", "--low-c", "0", "--high-c", "400")]
    [InlineData("--ma", "exchanged", "", "--type", "4-20-ma", "--ma", "-12", "--low-c", "0", "--high-c", "400")]
    [InlineData("--volts", "-0.25 to 10.25 V", "", "--type", "0-10-v", "--volts", "11", "--low-c", "0", "--high-c", "400")]
    [InlineData("--high-c", "missing", "--low-c", "--type", "4-20-ma", "--ma", "12", "--low-c", "0")]
    [InlineData("--high-c", "not above", "400", "--type", "4-20-ma", "--ma", "12", "--low-c", "400", "--high-c", "0")]
    [InlineData("--low-c", "-273.15 to 1500 °C", "", "--type", "4-20-ma", "--ma", "12", "--low-c", "-300", "--high-c", "0")]
    [InlineData("--temperature-c", "3.8 to 20.5 mA", "", "--to", "4-20-ma", "--temperature-c", "500", "--low-c", "0", "--high-c", "400")]
    [InlineData("--ntc-c", "missing", "--ntc-a", "--type", "ntc", "--ohms", "10000", "--ntc-a", "1e-3", "--ntc-b", "2e-4")]
    [InlineData("--ntc-a, --ntc-b, --ntc-c", "R in ohm", "", "--type", "ntc", "--ohms", "10000", "--ntc-a", "3.354e-3", "--ntc-b", "2.57e-4", "--ntc-c", "0")]
    public void What_cannot_be_meant_is_refused_with_its_option_and_what_is_allowed(string option, string reason, string allowed, params string[] arguments) =>
        Ran.Command(ConvertCommand.Build(), arguments).Refused(option, reason, allowed);

    [Fact]
    public void A_thermistor_is_refused_resistances_that_it_cannot_have()
    {
        Ran.Command(ConvertCommand.Build(), ["--type", "ntc", "--ohms", "0", .. Ntc]).Refused("--ohms", "above 0 and up to 100000000 ohm");
        Ran.Command(ConvertCommand.Build(), ["--type", "ntc", "--ohms", "1e9", .. Ntc]).Refused("--ohms", "above 0 and up to 100000000 ohm");
        Ran.Command(ConvertCommand.Build(), ["--to", "ntc", "--temperature-c", "2000", .. Ntc]).Refused("--temperature-c", "-200 to 1000 °C");
        Ran.Command(ConvertCommand.Build(), ["--to", "ntc", "--temperature-c", "-200", .. Ntc]).Refused("--temperature-c", "up to 100000000 ohm");
    }

    private static JsonElement Json(params string[] arguments)
    {
        var ran = Ran.Command(ConvertCommand.Build(), [.. arguments, "--json"]).Well();
        var line = Assert.Single(ran.Output.Split('\n', StringSplitOptions.RemoveEmptyEntries));
        return JsonElement.Parse(line);
    }

    private static string Words(params string[] arguments) => Ran.Command(ConvertCommand.Build(), arguments).Well().Output;

    private static double Number(JsonElement json, string name) => json.GetProperty(name).GetDouble();

    private static string Text(double value) => value.ToString("R", CultureInfo.InvariantCulture);

    [Fact]
    public void Zero_has_no_sign()
    {
        var ran = Ran.Command(ConvertCommand.Build(), "--type", "Pt100", "--ohms", "100", "--json");

        Assert.Contains("\"temperature_c\":0,", ran.Output, StringComparison.Ordinal);
    }
}
