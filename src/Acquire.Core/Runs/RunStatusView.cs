using Acquire.Core.Detection;

namespace Acquire.Core.Runs;

/// <summary>Reads a status off a run's state.</summary>
internal static class RunStatusView
{
    public static RunStatus Of(RunState s, RunPlan plan)
    {
        var since = s.RampLedger.ControlledSince ?? double.NegativeInfinity;
        var line = s.Ramp.Fit(RampEstimator.RecordWindowSeconds, since) ?? s.Ramp.Fit(RampEstimator.WarningWindowSeconds, double.NegativeInfinity);
        var heating = s.Fire is null && s.Phase is RunPhase.FastHeating or RunPhase.ControlledHeating or RunPhase.ApplyingTestFlame or RunPhase.HeatingToFirePoint;
        var scheduled = !plan.IsEquilibrium && (!plan.Scouting || s.Scouting.StartCelsius is not null);
        double? next = heating && scheduled && s.BurnedSeconds is not > 1 ? s.Series.NextDueCelsius : null;
        var burning = s.BurnedSeconds is { } burned && (burned > 0.5 || plan.IsGuided) ? burned : (double?)null;
        var prompt = (heating || plan.IsEquilibrium) && s.BurningSince is null ? s.Guide.Prompt : null;
        return new RunStatus
        {
            Phase = s.Phase,
            AtSeconds = s.AtSeconds,
            TemperatureCelsius = s.TemperatureCelsius,
            RateCelsiusPerMinute = line?.SlopePerSecond * 60,
            RateUncertaintyCelsiusPerMinute = line?.SlopeUncertaintyPerSecond * 60,
            Band = RampSupervision.BandNow(s, plan),
            NextApplicationCelsius = next,
            SecondsToNextApplication = line is { SlopePerSecond: > 0.005 } ramp && next is { } due && s.TemperatureCelsius is { } now
                ? Math.Max(0, (due - now) / ramp.SlopePerSecond)
                : null,
            PromptNumber = prompt?.Number,
            PromptDueCelsius = prompt?.DueCelsius,
            WithdrawableSighting = s.Withdrawable?.Seen,
            WithdrawableAtSeconds = s.Withdrawable?.AtSeconds,
            WithdrawableSeconds = s.Withdrawable is { } newest ? Math.Max(0, newest.AtSeconds + ObservationWithdrawn.LongestSeconds - s.AtSeconds) : null,
            Portions = PortionStatus.Of(s, plan),
            Applications = s.Series.Made.Count,
            FlameOver = plan.HasFlameSignal ? s.FlameOver : null,
            Detector = s.DetectorValue,
            SecondDetector = s.SecondDetectorValue,
            ObservedFlashCelsius = s.Flash?.Celsius,
            ObservedFireCelsius = s.Fire?.Celsius,
            BurningSeconds = burning,
            DetectorCheck = s.Watch.Check,
            LagCelsius = plan.Thermometer.Lag is { } lag ? lag.TimeConstantSeconds * line?.SlopePerSecond : null,
        };
    }
}
