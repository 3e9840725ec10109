using System.Globalization;
using System.Text.Json;
using Acquire.Core.Runs;

namespace Acquire.Service.Archive.Influx.Lines;

/// <summary>What a fact says beside its kind and time: what a person wants to see on a curve. The archive holds the whole fact.</summary>
internal static class EventFields
{
    public static void Write(LineText line, RunOutput fact)
    {
        switch (fact)
        {
            case FindingRaised { Finding: var finding }:
                line.Words("code", finding.Code).Words("weight", Word(finding.Weight)).Number("temperature_celsius", finding.TemperatureCelsius)
                    .Number("value", finding.Value).Number("limit", finding.Limit).Words("text", finding.Text);
                break;
            case AlarmRaised alarm:
                line.Words("code", alarm.Code).Words("text", alarm.Text);
                break;
            case AlarmCleared cleared:
                line.Words("code", cleared.Code);
                break;
            case HeaterCut cut:
                line.Words("code", cut.Code).YesNo("was_on", cut.WasOn).Words("text", cut.Text);
                break;
            case ObservationWithdrawn withdrawn:
                line.Words("text", Word(withdrawn.Seen));
                break;
            case PhaseChanged phase:
                line.Number("temperature_celsius", phase.TemperatureCelsius).Words("text", $"{Word(phase.From)} to {Word(phase.To)}");
                break;
            case RunClosed closed:
                line.Words("text", Word(closed.Result.Verdict));
                break;
            default:
                Applications(line, fact);
                break;
        }
    }

    private static void Applications(LineText line, RunOutput fact)
    {
        switch (fact)
        {
            case BandEntered band:
                line.Number("temperature_celsius", band.TemperatureCelsius).Number("limit", band.UntilCelsius);
                break;
            case ApplicationPrompted prompted:
                line.Number("number", prompted.Number).Number("temperature_celsius", prompted.DueCelsius);
                break;
            case ApplicationStarted started:
                line.Number("number", started.Number).Number("temperature_celsius", started.TemperatureCelsius);
                break;
            case ApplicationJudged { Application: var application }:
                line.Number("number", application.Number).Number("temperature_celsius", application.TemperatureCelsius).YesNo("flash", application.Flash).Number("value", application.Significance);
                break;
            case FlashDetected flash:
                line.Number("number", flash.ApplicationNumber).Number("temperature_celsius", flash.TemperatureCelsius);
                break;
            case BurnEnded burn:
                line.Number("value", burn.DurationSeconds);
                break;
            case FireDetected fire:
                line.Number("temperature_celsius", fire.TemperatureCelsius);
                break;
            case ObservationMade observation:
                line.Words("text", Word(observation.Seen));
                break;
            case TemperatureSet set:
                line.Number("number", set.Number).Number("temperature_celsius", set.SetCelsius);
                break;
            case PortionTested { Test: var test }:
                line.Number("number", test.Number).Number("temperature_celsius", test.AppliedCelsius).Words("code", test.Spoiled).Words("text", Word(test.Outcome));
                break;
            default:
                break; // its kind and time say it all
        }
    }

    internal static string Word<T>(T value)
        where T : struct, Enum => JsonNamingPolicy.KebabCaseLower.ConvertName(string.Create(CultureInfo.InvariantCulture, $"{value}"));
}
