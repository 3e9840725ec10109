using System.CommandLine;
using System.Globalization;
using Acquire.Core;
using Acquire.Service.CommandLine.Lagging;

namespace Acquire.Service.CommandLine;

/// <summary>`acquire lag`: the time constant of a thermometer from a record.</summary>
internal sealed class LagCommand
{
    private readonly Argument<string> _trace = new("TRACE") { Description = "CSV file with a header: time, the thermometer's temperature and, with --ramp, a reference's." };
    private readonly Option<bool> _step = new("--step") { Description = "The thermometer was plunged from one steady temperature into another and left there." };
    private readonly Option<bool> _ramp = new("--ramp") { Description = "A faster reference thermometer stood beside it while the temperature changed; taken where the file has the reference's column and nothing else is said." };
    private readonly Option<bool> _rest = new("--ramp-from-rest") { Description = "The specimen rested and was then heated at a constant rate." };
    private readonly Option<string> _time = new("--time-column") { Description = "Column of times, s.", DefaultValueFactory = _ => "time_s" };
    private readonly Option<string> _temperature = new("--temperature-column") { Description = "Column of the thermometer, °C.", DefaultValueFactory = _ => "temperature_c" };
    private readonly Option<string> _reference = new("--reference-column") { Description = "Column of the reference thermometer, °C.", DefaultValueFactory = _ => "reference_c" };
    private readonly Option<double?> _from = NumberOption.Optional("--from-s", "Leave out what came before, s.");
    private readonly Option<double?> _to = NumberOption.Optional("--to-s", "Leave out what came after, s.");
    private readonly Option<double?> _offset = NumberOption.Optional("--offset-c", "With --ramp: what the thermometer reads above the reference at rest, °C, where it is known; otherwise it is found too.");
    private readonly Option<double?> _uncertainty = NumberOption.Optional("--offset-uncertainty-c", "Standard uncertainty of --offset-c, °C.");
    private readonly Option<bool> _json = new("--json") { Description = "Print one JSON object on one line." };

    public static Command Build() => new LagCommand().ToCommand();

    private Command ToCommand()
    {
        var command = new Command("lag", "Find the time constant of a thermometer from a record.") { _trace, _step, _ramp, _rest, _time, _temperature, _reference, _from, _to, _offset, _uncertainty, _json };
        command.SetAction(Run);
        return command;
    }

    private int Run(ParseResult parsed)
    {
        var errors = new List<InputError>();
        var report = Request(parsed, errors) is { } request ? Read(request, errors) : null;
        if (report is null)
        {
            foreach (var problem in errors)
            {
                parsed.InvocationConfiguration.Error.WriteLine(problem);
            }

            return ExitCode.BadInput;
        }

        if (parsed.GetValue(_json))
        {
            parsed.InvocationConfiguration.Output.WriteLine(report.ToJson());
        }
        else
        {
            report.WriteText(parsed.InvocationConfiguration.Output);
        }

        return ExitCode.Done;
    }

    private static LagReport? Read(LagRequest request, List<InputError> errors)
    {
        if (!File.Exists(request.Trace))
        {
            errors.Add(new(request.Trace, "is not a file"));
            return null;
        }

        try
        {
            return LagMeasurement.Make(request, () => File.ReadLines(request.Trace), errors);
        }
        catch (Exception exception) when (exception is IOException or UnauthorizedAccessException)
        {
            errors.Add(new(request.Trace, $"cannot be read: {exception.Message}"));
            return null;
        }
    }

    private LagRequest? Request(ParseResult parsed, List<InputError> errors)
    {
        (Option<bool> Option, LagWay Way)[] choices = [(_step, LagWay.Step), (_ramp, LagWay.Ramp), (_rest, LagWay.RampFromRest)];
        var ways = choices.Where(choice => parsed.GetValue(choice.Option)).Select(choice => choice.Way).ToArray();
        if (ways.Length > 1)
        {
            errors.Add(new("--step", "give one of --step, --ramp and --ramp-from-rest"));
        }

        var (from, to) = (parsed.GetValue(_from), parsed.GetValue(_to));
        if (from >= to)
        {
            errors.Add(new("--to-s", string.Create(CultureInfo.InvariantCulture, $"{to} s is not later than --from-s {from} s")));
        }

        var (offset, uncertainty) = (parsed.GetValue(_offset), parsed.GetValue(_uncertainty));
        if (offset is null != uncertainty is null)
        {
            errors.Add(new(offset is null ? "--offset-c" : "--offset-uncertainty-c", "is missing; an offset is given with its standard uncertainty"));
        }

        return errors.Count > 0 ? null : new()
        {
            Trace = parsed.GetValue(_trace)!,
            Way = ways.Length == 1 ? ways[0] : null,
            TimeColumn = parsed.GetValue(_time)!,
            TemperatureColumn = parsed.GetValue(_temperature)!,
            ReferenceColumn = parsed.GetValue(_reference)!,
            FromSeconds = from ?? double.NegativeInfinity,
            ToSeconds = to ?? double.PositiveInfinity,
            Offset = offset is { } known ? new(known, uncertainty!.Value) : null,
        };
    }
}
