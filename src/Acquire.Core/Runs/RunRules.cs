using Acquire.Core.Methods;

namespace Acquire.Core.Runs;

/// <summary>The rules of one run: the method as it applies to the expected flash point, without variants.</summary>
public sealed class RunRules
{
    /// <summary>Resolves the method for an expected flash point.</summary>
    /// <param name="method">A ramp procedure.</param>
    /// <param name="expectedFlashCelsius">What the analyst expects, °C.</param>
    /// <exception cref="ArgumentException">The method has no ramp; whoever accepted the order let it through, see <see cref="WhyNot"/>.</exception>
    public RunRules(MethodDefinition method, double expectedFlashCelsius)
    {
        ArgumentNullException.ThrowIfNull(method);
        Method = method.For(expectedFlashCelsius);
        if (Method is not { Ramp: { } ramp, Applications: { } applications })
        {
            throw new ArgumentException($"The method {method.Id} has no ramp that a run could follow.", nameof(method));
        }

        (Ramp, Applications) = (ramp, applications);
        FirstApplicationCelsius = expectedFlashCelsius - applications.FirstBelowExpectedCelsius;
        SeriesFromCelsius = expectedFlashCelsius - (applications.FirstAtEarliestBelowExpectedCelsius ?? (2 * applications.FirstBelowExpectedCelsius));
    }

    /// <summary>The method without variants.</summary>
    public MethodDefinition Method { get; }

    /// <summary>How fast to heat, and where.</summary>
    public RampRules Ramp { get; }

    /// <summary>When and how long to apply the test flame.</summary>
    public ApplicationRules Applications { get; }

    /// <summary>Temperature of the first scheduled application, °C.</summary>
    public double FirstApplicationCelsius { get; }

    /// <summary>A pass of the flame below this temperature is no part of the series, °C.</summary>
    public double SeriesFromCelsius { get; }

    /// <summary>What counts as a fire point.</summary>
    public FirePointRules FirePoint => Method.FirePoint;

    /// <summary>Limits for judging the record.</summary>
    public JudgementRules Judgement => Method.Judgement;

    /// <summary>Correction to standard pressure.</summary>
    public BarometricRule Barometric => Method.Barometric;

    /// <summary>Why a method cannot rule a run of this program; null where it can.</summary>
    public static string? WhyNot(MethodDefinition method)
    {
        ArgumentNullException.ThrowIfNull(method);
        return method.Procedure == ProcedureKind.Ramp ? null
            : $"{method.Id} brings fresh test portions to fixed temperatures; this version of the program only supervises runs along a ramp. Its rules can be read with `acquire methods show {method.Id}`";
    }
}
