using System.Globalization;
using System.Text;
using System.Text.Json;
using Acquire.Service.CommandLine;
using Xunit;

namespace Acquire.Service.Tests.CommandLine;

public sealed class LagCommandTests
{
    private const double Tau = 7.4;
    private const double RatePerSecond = 5.5 / 60;

    private readonly string _folder = TestFolders.Make("acquire-lag-");

    [Theory]
    [InlineData("step", "--step")]
    [InlineData("ramp-from-rest", "--ramp-from-rest")]
    [InlineData("ramp", "--ramp")]
    [InlineData("ramp")]
    public void The_time_constant_is_found_with_an_honest_uncertainty(string way, params string[] options)
    {
        var json = Json([Record(way), .. options]);
        Assert.Equal(way, json.GetProperty("found_from").GetString());
        var (tau, uncertainty) = (Number(json, "time_constant_s"), Number(json, "standard_uncertainty_s"));
        Assert.InRange(uncertainty, 0.0001, 0.2);
        Assert.Equal(Tau, tau, 4 * uncertainty);
        Assert.Equal(0.03, Number(json, "scatter_c"), 0.005);
        Assert.Equal(Number(json, "behind_ramp_s") * 5.5 / 60, Number(json, "lag_c"), 1e-9);
        Assert.Equal(way != "ramp", json.TryGetProperty("onset_s", out _));
        Assert.Equal(way == "ramp", json.TryGetProperty("offset_c", out var offset) && Math.Abs(offset.GetDouble() - 0.2) < 0.02);
    }

    [Fact]
    public void The_words_say_what_to_write_into_acquire_json_and_to_leave_the_correction_off()
    {
        var path = Record("step");
        var words = Ran.Command(LagCommand.Build(), path, "--step").Well().Output;
        Assert.StartsWith(path + ": time constant 7.", words, StringComparison.Ordinal);
        Assert.Contains("at 5.5 °C/min  reads 0.68 °C too low", words, StringComparison.Ordinal);
        Assert.Contains("\"lag\": { \"timeConstantSeconds\": 7.", words, StringComparison.Ordinal);
        Assert.Contains(", \"correct\": false }", words, StringComparison.Ordinal);
        Assert.Contains("a method's precision statement assumes its own thermometer, lag included", words, StringComparison.Ordinal);
    }

    [Fact]
    public void A_first_stage_of_the_sensor_adds_to_what_it_is_behind_a_ramp()
    {
        // Two stages of 7.4 and 2 s, one after the other: behind a ramp by 9.4 s.
        var text = new StringBuilder("time_s,temperature_c\n");
        for (var i = 0; i < 900; i++)
        {
            var since = Math.Max(0, (i / 10.0) - 8.3);
            text.Append(CultureInfo.InvariantCulture, $"{i / 10.0},{80 - (55 * ((Tau * Math.Exp(-since / Tau)) - (2 * Math.Exp(-since / 2))) / (Tau - 2)):0.0000}\n");
        }

        var path = Write(text.ToString());
        var json = Json(path, "--step");
        Assert.Equal(Tau, Number(json, "time_constant_s"), 0.6);
        Assert.InRange(Number(json, "delay_s"), 0.5, 3);
        Assert.Equal(Tau + 2, Number(json, "behind_ramp_s"), 0.6);
        Assert.Contains("on a ramp both count", Ran.Command(LagCommand.Build(), path, "--step").Well().Output, StringComparison.Ordinal);
    }

    [Fact]
    public void Columns_are_taken_by_their_names_and_others_are_not_looked_at()
    {
        var text = File.ReadAllText(Record("ramp")).Replace("time_s,temperature_c,reference_c", "\uFEFFt, \"slow\" ,fast", StringComparison.Ordinal);
        var other = string.Join('\n', text.Split('\n', StringSplitOptions.RemoveEmptyEntries).Select((line, i) => (i == 0 ? "remark," : "any text,") + line));
        var json = Json(Write(other.Replace("\uFEFF", "", StringComparison.Ordinal)), "--ramp", "--time-column", "t", "--temperature-column", "slow", "--reference-column", "fast");
        Assert.Equal(Tau, Number(json, "time_constant_s"), 4 * Number(json, "standard_uncertainty_s"));
    }

    [Fact]
    public void Rows_without_a_reading_are_left_out_and_counted()
    {
        var lines = File.ReadAllLines(Record("step"));
        lines[100] = lines[100][..(lines[100].IndexOf(',', StringComparison.Ordinal) + 1)];
        Assert.Equal(1, Number(Json(Write(string.Join('\n', lines) + "\n\n"), "--step"), "rows_empty"));
    }

    [Fact]
    public void A_part_of_a_record_can_be_taken_and_a_part_that_shows_too_little_is_refused()
    {
        var path = Record("step");

        // From 5 to 45 s there are 401 readings, 33 of them before the plunge.
        var part = Json(path, "--step", "--from-s", "5", "--to-s", "45");
        Assert.InRange(Number(part, "readings_used"), 340, 368);
        Assert.Equal(Tau, Number(part, "time_constant_s"), 4 * Number(part, "standard_uncertainty_s"));
        Ran.Command(LagCommand.Build(), path, "--step", "--to-s", "12").Refused(path, "less than 3 time constants");
        Ran.Command(LagCommand.Build(), path, "--step", "--from-s", "12", "--to-s", "12").Refused("--to-s", "12 s is not later than --from-s 12 s");
    }

    [Fact]
    public void On_a_ramp_alone_the_offset_must_be_known_and_is_then_used()
    {
        var path = Record("ramp");
        Ran.Command(LagCommand.Build(), path, "--from-s", "80").Refused(path, "offset");
        var json = Json(path, "--from-s", "80", "--offset-c", "0.2", "--offset-uncertainty-c", "0.02");
        Assert.Equal(0.02 / RatePerSecond, Number(json, "standard_uncertainty_s"), 0.02);
        Assert.Equal(Tau, Number(json, "time_constant_s"), 4 * Number(json, "standard_uncertainty_s"));
        Ran.Command(LagCommand.Build(), path, "--offset-c", "0.2").Refused("--offset-uncertainty-c", "missing");
        Ran.Command(LagCommand.Build(), path, "--offset-c", "90", "--offset-uncertainty-c", "1").Refused("--offset-c", "-50 to 50 °C");
        Ran.Command(LagCommand.Build(), path, "--step", "--offset-c", "0.2", "--offset-uncertainty-c", "0.1").Refused("--offset-c", "--ramp");
    }

    [Theory]
    [InlineData("time_s,temperature_c\n0,25\n1,warm\n", ", line 3, temperature_c", "'warm'")]
    [InlineData("time_s,temperature_c\n0,25\n1,1e9\n", ", line 3, temperature_c", "-273.15 to 1500")]
    [InlineData("time_s,temperature_c\n0,25\n1,NaN\n", ", line 3, temperature_c", "finite number")]
    [InlineData("time_s,temperature_c\n0,25\n0,26\n", ", line 3, time_s", "not later than 0 s")]
    [InlineData("time_s,temperature_c\n0,25\n,26\n", ", line 3, time_s", "empty")]
    [InlineData("time_s,temperature_c\n0,25\n1,26,3\n", ", line 3", "3 fields where the header has 2")]
    [InlineData("time_s;temperature_c\n0;25\n", ", line 1", "commas, not semicolons")]
    [InlineData("time_s,temp\n0,25\n", ", line 1", "no column 'temperature_c'; it has time_s, temp")]
    [InlineData("time_s,time_s,temperature_c\n0,0,25\n", ", line 1", "'time_s' twice")]
    [InlineData("time_s,temperature_c\n0,25\n", "", "1 readings are not within 20")]
    [InlineData("", "", "is empty")]
    public void A_file_that_cannot_be_used_is_refused_with_its_line_and_column(string text, string place, string reason)
    {
        var path = Write(text);
        Ran.Command(LagCommand.Build(), path, "--step").Refused(path + place, reason);
    }

    [Fact]
    public void Errors_end_after_some()
    {
        var path = Write("time_s,temperature_c\n" + string.Concat(Enumerable.Repeat("x,y\n", 1000)));
        Assert.Equal(20, Ran.Command(LagCommand.Build(), path, "--step").Error.Split('\n', StringSplitOptions.RemoveEmptyEntries).Length);
    }

    [Fact]
    public void What_the_record_shows_has_to_be_said_where_the_file_does_not()
    {
        Ran.Command(LagCommand.Build(), Record("step")).Refused("--step", "--ramp-from-rest", "reference_c");
        Ran.Command(LagCommand.Build(), Record("step"), "--step", "--ramp-from-rest").Refused("--step", "give one of");
        Ran.Command(LagCommand.Build(), Record("ramp"), "--ramp", "--reference-column", "time_s").Refused("--temperature-column", "different columns");
        Ran.Command(LagCommand.Build(), Path.Combine(_folder, "no.csv"), "--step").Refused(Path.Combine(_folder, "no.csv"), "not a file");
    }

    // What a first-order lag of 7.4 s makes of a plunge at 8.3 s, or of a ramp of 5.5 °C/min from 40 s on, with noise of 0.03 °C.
    private string Record(string way)
    {
        var noise = new Random(3);
        var text = new StringBuilder(way == "ramp" ? "time_s,temperature_c,reference_c\n" : "time_s,temperature_c\n");
        for (var i = 0; i < (way == "step" ? 900 : 3000); i++)
        {
            var seconds = i / 10.0;
            var since = Math.Max(0, seconds - 40);
            var celsius = way == "step"
                ? seconds < 8.3 ? 25 : 80 - (55 * Math.Exp((8.3 - seconds) / Tau))
                : 25 + (RatePerSecond * (since - (Tau * (1 - Math.Exp(-since / Tau))))) + (way == "ramp" ? 0.2 : 0);
            text.Append(CultureInfo.InvariantCulture, $"{seconds},{celsius + (0.03 * Normal(noise)):0.000}");
            text.Append(way == "ramp" ? string.Create(CultureInfo.InvariantCulture, $",{25 + (RatePerSecond * since):0.000}\n") : "\n");
        }

        return Write(text.ToString());
    }

    private string Write(string text)
    {
        var path = Path.Combine(_folder, $"{Guid.NewGuid():N}.csv");
        File.WriteAllText(path, text);
        return path;
    }

    private static double Normal(Random random) => Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(2 * Math.PI * random.NextDouble());

    private static JsonElement Json(params string[] arguments)
    {
        var ran = Ran.Command(LagCommand.Build(), [.. arguments, "--json"]).Well();
        return JsonElement.Parse(Assert.Single(ran.Output.Split('\n', StringSplitOptions.RemoveEmptyEntries)));
    }

    private static double Number(JsonElement json, string name) => json.GetProperty(name).GetDouble();
}
