using Acquire.Service.CommandLine;
using Xunit;

namespace Acquire.Service.Tests.CommandLine;

public sealed class DevicesCommandTests
{
    private const string Config = """
        { "testers": [
          { "id": "bench-1", "source": { "kind": "serial", "port": "/dev/serial/by-id/none", "columns": [ { "channel": "temperature", "unit": "degC" }, { "channel": "detector" } ] } },
          { "id": "bench-2", "source": { "kind": "modbus-rtu", "port": "/dev/none", "unitId": 1, "registers": [ { "channel": "temperature", "unit": "degC", "address": 0 } ] } } ] }
        """;

    private const string Wire = "acquire-wire 1\n0 opened\n500000 in 182.4,0.03\n600000 in 1\\r\\nx,1\\n\n700000 in 182.5,\\n\n";

    private readonly string _folder = TestFolders.Make("acquire-devices-");

    private string ConfigPath => Write("acquire.json", Config);

    [Fact]
    public void Ports_that_testers_wait_for_are_listed_with_them()
    {
        var ran = Ran.Command(DevicesCommand.Build(), "list", "--config", ConfigPath).Well();

        Assert.Contains("/dev/serial/by-id/none\n  used by       bench-1 (serial /dev/serial/by-id/none, 9600 baud)\n  state         NOT THERE: plug the tester in and switch it on\n", ran.Output, StringComparison.Ordinal);
        Assert.Contains("/dev/none\n  used by       bench-2 (modbus rtu /dev/none, 19200 baud, unit 1)\n", ran.Output, StringComparison.Ordinal);
    }

    [Fact]
    public void Recorded_wire_is_decoded_as_a_testers_with_the_raw_text_beside()
    {
        var ran = Ran.Command(DevicesCommand.Build(), "play", Write("a.wire", Wire), "bench-1", "--config", ConfigPath);

        Assert.Equal((ExitCode.Done, "3 lines, 2 read, 1 refused\n"), (ran.Code, ran.Error));
        Assert.Equal(
            [
                "     0.600  temperature 182.4 °C, detector 0.031                      | 182.4,0.031",
                "     0.600  REFUSED column 1 (temperature): given \"x\"; allowed: a number such as 21.5  | x,1",
                "     0.700  temperature 182.5 °C                                      | 182.5,",
            ],
            ran.Output.TrimEnd('\n').Split('\n'));
    }

    [Fact]
    public void Recorded_wire_is_shown_as_it_is_where_no_tester_is_named()
    {
        var ran = Ran.Command(DevicesCommand.Build(), "play", Write("a.wire", Wire));

        Assert.Equal((ExitCode.Done, "     0.600  182.4,0.031\n     0.600  x,1\n     0.700  182.5,\n"), (ran.Code, ran.Output));
    }

    [Fact]
    public void Record_whose_last_line_was_cut_off_is_played_without_it_and_says_so()
    {
        // Of "182.5" the cut leaves a number that looks right.
        var ran = Ran.Command(DevicesCommand.Build(), "play", Write("a.wire", Wire[..Wire.IndexOf("2.5,", StringComparison.Ordinal)]));

        Assert.Equal((ExitCode.Done, "     0.600  182.4,0.031\n     0.600  x,1\n"), (ran.Code, ran.Output));
        Assert.Contains("a.wire line 5: this last line was cut off in the writing and is left out", ran.Error, StringComparison.Ordinal);
    }

    [Fact]
    public void What_cannot_be_used_is_refused_with_what_is_allowed()
    {
        var wire = Write("a.wire", Wire);
        Refused("TESTER", ["watch"], "give a tester of the configuration, or --port with a port");
        Refused("TESTER", ["watch", "bnch-1", "--config", ConfigPath], "allowed: bench-1, bench-2; did you mean \"bench-1\"?");
        Refused("--port", ["watch", "bench-2", "--config", ConfigPath, "--port", "/dev/x"], "modbus rtu /dev/none", "with a tester of the kind \"serial\"");
        Refused("--baud-rate", ["watch", "bench-1", "--config", ConfigPath, "--baud-rate", "9600"], "is given beside a tester");
        Refused("--baud-rate", ["watch", "--port", "/dev/none", "--baud-rate", "50"], "given 50; allowed: a whole number from 110 to 4000000");
        Refused("--parity", ["record", Path.Combine(_folder, "new"), "--port", "/dev/none", "--parity", "evn"], "did you mean \"even\"?");
        Refused("--line-end", ["watch", "--port", "/dev/none", "--line-end", "crlf"], "did you mean \"cr-lf\"?");
        Refused("--seconds", ["watch", "--port", "/dev/none", "--seconds", "0"], "given 0; allowed: above 0");
        Refused("--lines", ["watch", "--port", "/dev/none", "--lines", "0"], "given 0; allowed: 1 or more");
        Refused("--listen", ["list", "--config", ConfigPath, "--listen", "61"], "given 61; allowed: above 0, up to 60 s");
        Refused("--speed", ["play", wire, "--to", "/dev/none", "--speed", "0"], "given 0; allowed: 0.01 to 1000");
        Refused("FILE", ["record", wire, "--port", "/dev/none"], "allowed: a file that is not there yet");
        Refused($"{Write("b.wire", Wire + "noise\n")} line 6", ["play", Path.Combine(_folder, "b.wire")], "given \"noise\"; allowed: MICROSECONDS");
        Refused(Path.Combine(_folder, "no.wire"), ["play", Path.Combine(_folder, "no.wire")], "the file cannot be read");
        Refused(Path.Combine(_folder, "no.json") + ": ", ["list", "--config", Path.Combine(_folder, "no.json")], "cannot be read");
    }

    [Fact]
    public void Port_that_is_not_there_ends_with_1_and_says_what_to_do()
    {
        var watch = Ran.Command(DevicesCommand.Build(), "watch", "--port", "/dev/none", "--seconds", "0.3");
        Assert.Equal((ExitCode.Failed, "", "/dev/none is not there: plug the tester in and switch it on\n0 lines, 0 read, 0 refused\n"), (watch.Code, watch.Output, watch.Error));

        var play = Ran.Command(DevicesCommand.Build(), "play", Write("a.wire", Wire), "--to", "/dev/none");
        Assert.Equal((ExitCode.Failed, "--to: /dev/none is not there: plug the tester in and switch it on\n"), (play.Code, play.Error));
    }

    private static void Refused(string place, string[] arguments, params string[] words)
    {
        var ran = Ran.Command(DevicesCommand.Build(), arguments);
        Assert.Equal((ExitCode.BadInput, ""), (ran.Code, ran.Output));
        Assert.StartsWith(place, ran.Error, StringComparison.Ordinal);
        Assert.All(words, word => Assert.Contains(word, ran.Error, StringComparison.Ordinal));
    }

    private string Write(string name, string text)
    {
        var path = Path.Combine(_folder, name);
        File.WriteAllText(path, text);
        return path;
    }
}
