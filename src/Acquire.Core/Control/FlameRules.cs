using Acquire.Core.Runs;

namespace Acquire.Core.Control;

/// <summary>When the test flame is due in a driven run.</summary>
/// <param name="FirstCelsius">Temperature of the first application, °C.</param>
/// <param name="NextDueCelsius">From the temperature at which an application was due to that of the next, °C; always higher.</param>
/// <param name="PassSeconds">How long the flame is over the cup, s; 0.1 to 10.</param>
/// <param name="ReactionSeconds">From the command until the flame is there, s; 0 to 5.</param>
public sealed record FlameRules(double FirstCelsius, Func<double, double> NextDueCelsius, double PassSeconds, double ReactionSeconds = 0)
{
    /// <summary>The rules of a run's plan; a scouting run's follow from where it starts, see <see cref="ScoutingFlame"/>.</summary>
    /// <param name="plan">The plan; its method has been checked.</param>
    /// <param name="reactionSeconds">From the command until the flame is there, s.</param>
    public static FlameRules For(RunPlan plan, double reactionSeconds = 0)
    {
        ArgumentNullException.ThrowIfNull(plan);
        var applications = plan.Rules.Applications;
        return new FlameRules(plan.Rules.FirstApplicationCelsius, due => due + applications.IntervalCelsius, applications.PassSeconds, reactionSeconds);
    }
}
