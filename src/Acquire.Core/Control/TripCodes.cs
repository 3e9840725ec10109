namespace Acquire.Core.Control;

/// <summary>Stable codes of what turns the heater off. A code never changes its meaning.</summary>
public static class TripCodes
{
    /// <summary>The thermometer read above the limit.</summary>
    public const string OverTemperature = "heater-over-temperature";

    /// <summary>No sound reading for too long.</summary>
    public const string ReadingSilent = "heater-reading-silent";

    /// <summary>Several bad readings in a row.</summary>
    public const string ReadingBad = "heater-reading-bad";

    /// <summary>The heater was on for long and the reading did not rise.</summary>
    public const string NoRise = "heater-no-rise";

    /// <summary>The reading fell while the heater was on, or the supervision takes the cup for cooling.</summary>
    public const string ReadingFell = "heater-reading-fell";

    /// <summary>The heater was off for long and the reading rose.</summary>
    public const string RiseWithoutPower = "heater-rise-without-power";

    /// <summary>There is no open run.</summary>
    public const string RunNotOpen = "heater-run-not-open";

    /// <summary>A person turned the heater off.</summary>
    public const string OperatorStop = "heater-operator-stop";

    /// <summary>The run was taken up again after the service had stopped.</summary>
    public const string Resumed = "heater-resumed";

    /// <summary>The time that the tester gives its readings jumped, or stands still.</summary>
    public const string TesterClock = "heater-tester-clock";

    /// <summary>The tester has not acknowledged a command for too long, says that it obeys none any more, or its connection was lost.</summary>
    public const string NotAcknowledged = "heater-not-acknowledged";

    /// <summary>The tester gives power although none is commanded, or far more than is commanded.</summary>
    public const string NotObeyed = "heater-not-obeyed";

    /// <summary>The tester does not bring the test flame over the cup when it is told to, or leaves it there.</summary>
    public const string FlameNotObeyed = "heater-flame-not-obeyed";

    /// <summary>The determination is complete: nothing needs heat any more.</summary>
    public const string ResultComplete = "heater-result-complete";

    /// <summary>The search wants a temperature that the tester may not reach.</summary>
    public const string SetTooHigh = "heater-set-too-high";

    /// <summary>The service is ending.</summary>
    public const string ServiceStopping = "heater-service-stopping";

    /// <summary>The program failed, or asked for a power that is no number.</summary>
    public const string ProgramFault = "heater-program-fault";

    /// <summary>Whether the heater goes off in the ordinary course of things with this code, so that nobody need be alarmed.</summary>
    public static bool IsOrdinary(string code) => code is RunNotOpen or OperatorStop or ResultComplete or ServiceStopping;
}
