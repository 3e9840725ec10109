using Acquire.Core.Detection;
using Acquire.Core.Runs;

namespace Acquire.Core.Results;

/// <summary>What a run is worth. Follows from the findings by rule: the heaviest finding decides.</summary>
public enum Verdict
{
    /// <summary>No finding speaks against the run.</summary>
    Valid,

    /// <summary>A finding asks for the analyst's judgement.</summary>
    Doubtful,

    /// <summary>The run does not count.</summary>
    Invalid,
}

/// <summary>One determined point: as read, at standard pressure, and as reported. °C.</summary>
/// <param name="ObservedCelsius">As read at the onset.</param>
/// <param name="CorrectedCelsius">At the method's standard pressure, not rounded.</param>
/// <param name="ReportedCelsius">Corrected, then rounded once by the method's rule; null for an invalid run and for a scouting run, which have nothing to report.</param>
/// <param name="TimeSeconds">Onset on the run's axis, s.</param>
public sealed record DeterminedPoint(double ObservedCelsius, double CorrectedCelsius, double? ReportedCelsius, double TimeSeconds);

/// <summary>What a closed run says.</summary>
/// <param name="Verdict">What it is worth.</param>
/// <param name="Flash">The flash point; null where none was found or none may be stated.</param>
/// <param name="Fire">The fire point; null where none was found or none may be stated.</param>
/// <param name="StationKilopascals">Absolute station pressure used for the correction, kPa.</param>
/// <param name="Applications">All passes of the test flame, in order.</param>
/// <param name="Findings">All findings, in order.</param>
public sealed record RunResult(
    Verdict Verdict,
    DeterminedPoint? Flash,
    DeterminedPoint? Fire,
    double StationKilopascals,
    IReadOnlyList<Application> Applications,
    IReadOnlyList<Finding> Findings)
{
    /// <summary>How the proper run after a scouting run begins; null for any other run, and where a scouting run does not say.</summary>
    public NextRun? Next { get; init; }

    /// <summary>What an equilibrium procedure answered; null for a run along a ramp.</summary>
    public EquilibriumResult? Equilibrium { get; init; }

    /// <summary>Whether a flash could be told at the detector's rate and noise, as it stood at the flash; null where a person judged, and where there was no quiet to tell it from.</summary>
    public DetectorCheck? DetectorCheck { get; init; }

    /// <summary>The findings that lowered the verdict, in order; empty for a valid run.</summary>
    public IEnumerable<Finding> Reasons => Findings.Where(finding => finding.Weight != FindingWeight.Note);
}
