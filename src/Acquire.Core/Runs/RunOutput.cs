using System.Text.Json.Serialization;
using Acquire.Core.Results;

namespace Acquire.Core.Runs;

/// <summary>A fact the supervisor states. Facts are archived first and announced afterwards.</summary>
/// <param name="AtSeconds">Time of the fact on the run's own axis, s.</param>
[JsonPolymorphic(TypeDiscriminatorPropertyName = "kind")]
[JsonDerivedType(typeof(PhaseChanged), "phase-changed")]
[JsonDerivedType(typeof(BandEntered), "band-entered")]
[JsonDerivedType(typeof(ApplicationPrompted), "application-prompted")]
[JsonDerivedType(typeof(ObservationMade), "observation-made")]
[JsonDerivedType(typeof(ObservationWithdrawn), "observation-withdrawn")]
[JsonDerivedType(typeof(TemperatureSet), "temperature-set")]
[JsonDerivedType(typeof(PortionCharged), "portion-charged")]
[JsonDerivedType(typeof(PortionTested), "portion-tested")]
[JsonDerivedType(typeof(HeaterTurnedOn), "heater-turned-on")]
[JsonDerivedType(typeof(HeaterCut), "heater-cut")]
[JsonDerivedType(typeof(ApplicationStarted), "application-started")]
[JsonDerivedType(typeof(ApplicationJudged), "application-judged")]
[JsonDerivedType(typeof(FlashDetected), "flash-detected")]
[JsonDerivedType(typeof(BurnEnded), "burn-ended")]
[JsonDerivedType(typeof(FireDetected), "fire-detected")]
[JsonDerivedType(typeof(FindingRaised), "finding-raised")]
[JsonDerivedType(typeof(AlarmRaised), "alarm-raised")]
[JsonDerivedType(typeof(AlarmCleared), "alarm-cleared")]
[JsonDerivedType(typeof(RunClosed), "run-closed")]
[JsonDerivedType(typeof(AxisBegun), "axis-begun")]
[JsonDerivedType(typeof(RunResumed), "run-resumed")]
[JsonDerivedType(typeof(RunInterrupted), "run-interrupted")]
public abstract record RunOutput(double AtSeconds);

/// <summary>The run went from one phase to the next.</summary>
public sealed record PhaseChanged(double AtSeconds, RunPhase From, RunPhase To, double? TemperatureCelsius) : RunOutput(AtSeconds);

/// <summary>From this point on the curve must stay inside a cone of ramp rates.</summary>
/// <param name="AtSeconds">Time of the cone's tip, s.</param>
/// <param name="TemperatureCelsius">Temperature of the cone's tip, °C.</param>
/// <param name="Band">Allowed rates, °C/min.</param>
/// <param name="UntilCelsius">The cone ends at this temperature, °C; null where it holds to the end.</param>
public sealed record BandEntered(double AtSeconds, double TemperatureCelsius, Methods.RateBand Band, double? UntilCelsius) : RunOutput(AtSeconds);

/// <summary>The person at the cup of a guided run was asked for the next application.</summary>
/// <param name="AtSeconds">When it was asked for, s.</param>
/// <param name="Number">Which application, from 1.</param>
/// <param name="DueCelsius">Temperature at which it is due, °C.</param>
public sealed record ApplicationPrompted(double AtSeconds, int Number, double DueCelsius) : RunOutput(AtSeconds);

/// <summary>The next portion of an equilibrium run is to be tested at this temperature: the block is to be set to it.</summary>
/// <param name="AtSeconds">When it was known, s.</param>
/// <param name="Number">Which test, from 1.</param>
/// <param name="SetCelsius">The temperature, °C.</param>
public sealed record TemperatureSet(double AtSeconds, int Number, double SetCelsius) : RunOutput(AtSeconds);

/// <summary>A portion of an equilibrium run has had its application.</summary>
/// <param name="AtSeconds">When it could be judged, s.</param>
/// <param name="Test">The test.</param>
public sealed record PortionTested(double AtSeconds, PortionTest Test) : RunOutput(AtSeconds);

/// <summary>Something happened to the heater of a driven run that no reading tells. With the readings it makes the record whole, as <see cref="ObservationMade"/> does.</summary>
/// <param name="AtSeconds">When, s: never before an earlier reading.</param>
/// <param name="ReadingSeconds">Time of the newest reading then, s: the fact stands directly after it in the record. Null where none had come.</param>
public abstract record HeaterFact(double AtSeconds, double? ReadingSeconds) : RunOutput(AtSeconds);

/// <summary>A person turned the heater of a driven tester on.</summary>
/// <param name="AtSeconds">When, s.</param>
/// <param name="ReadingSeconds">Time of the newest reading then, s; null where none had come.</param>
/// <param name="Person">Who answers for it; 1 to 80 characters.</param>
public sealed record HeaterTurnedOn(double AtSeconds, double? ReadingSeconds, string Person) : HeaterFact(AtSeconds, ReadingSeconds);

/// <summary>The heater of a driven tester was cut, or was found to have to be off.</summary>
/// <param name="AtSeconds">When, s.</param>
/// <param name="ReadingSeconds">Time of the newest reading then, s; null where none had come.</param>
/// <param name="Code">Why: a stable code of <see cref="Control.TripCodes"/>.</param>
/// <param name="Text">What happened and its limit, in words.</param>
/// <param name="WasOn">Whether the heater was on until then.</param>
public sealed record HeaterCut(double AtSeconds, double? ReadingSeconds, string Code, string Text, bool WasOn) : HeaterFact(AtSeconds, ReadingSeconds);

/// <summary>The test flame came over the cup.</summary>
public sealed record ApplicationStarted(double AtSeconds, int Number, double TemperatureCelsius, ApplicationEvidence Evidence) : RunOutput(AtSeconds);

/// <summary>The effect of an application has been judged.</summary>
/// <param name="AtSeconds">Time at which the judgement was possible, s.</param>
/// <param name="Application">The application, with its verdict.</param>
public sealed record ApplicationJudged(double AtSeconds, Application Application) : RunOutput(AtSeconds);

/// <summary>The first flash of the run: the observed flash point.</summary>
/// <param name="AtSeconds">Onset of the flash, s.</param>
/// <param name="TemperatureCelsius">Specimen temperature as read at the onset, °C; null where the thermometer gave no reading near it.</param>
/// <param name="ApplicationNumber">Which application ignited it, from 1.</param>
public sealed record FlashDetected(double AtSeconds, double? TemperatureCelsius, int ApplicationNumber) : RunOutput(AtSeconds);

/// <summary>The specimen burned for less than the method's seconds and went out.</summary>
public sealed record BurnEnded(double AtSeconds, double OnsetSeconds, double DurationSeconds) : RunOutput(AtSeconds);

/// <summary>The specimen has burned for the method's seconds: the observed fire point.</summary>
/// <param name="AtSeconds">Time at which the seconds were complete, s.</param>
/// <param name="OnsetSeconds">When the burning began, s.</param>
/// <param name="TemperatureCelsius">Specimen temperature as read at the onset, °C; null where the thermometer gave no reading near it.</param>
public sealed record FireDetected(double AtSeconds, double OnsetSeconds, double? TemperatureCelsius) : RunOutput(AtSeconds);

/// <summary>A rule of the method was broken, or something a reader of the record must know.</summary>
public sealed record FindingRaised(double AtSeconds, Finding Finding) : RunOutput(AtSeconds);

/// <summary>Something needs a person now.</summary>
/// <param name="AtSeconds">When it began, s.</param>
/// <param name="Code">Stable code, see <see cref="Alarms.AlarmCodes"/>.</param>
/// <param name="Text">What is wrong and what to look at.</param>
public sealed record AlarmRaised(double AtSeconds, string Code, string Text) : RunOutput(AtSeconds);

/// <summary>What the alarm stood for is over.</summary>
public sealed record AlarmCleared(double AtSeconds, string Code) : RunOutput(AtSeconds);

/// <summary>The record is closed with its result.</summary>
public sealed record RunClosed(double AtSeconds, RunResult Result) : RunOutput(AtSeconds);
