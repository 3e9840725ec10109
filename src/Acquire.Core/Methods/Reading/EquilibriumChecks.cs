namespace Acquire.Core.Methods.Reading;

/// <summary>The ranges of an equilibrium procedure.</summary>
internal static class EquilibriumChecks
{
    public static void Check(MethodErrors errors, EquilibriumRules? rules)
    {
        if (rules is null)
        {
            return;
        }

        errors.Require(rules.Charges.Count > 0, "charges", "is empty: say how much is charged and how long it waits");
        errors.AtMost("charges", rules.Charges.Count, 20);
        errors.AtMost("stepsCelsius", rules.StepsCelsius?.Count, 10);
        for (var i = 0; i < rules.Charges.Count; i++)
        {
            Charge(errors.Below(MethodErrors.Entry("charges", i)), rules.Charges[i]);
        }

        errors.Number("blockToleranceCelsius", rules.BlockToleranceCelsius, 0.05, 5);
        errors.Number("steadySeconds", rules.SteadySeconds, 0, 3600);
        errors.Number("waitToleranceSeconds", rules.WaitToleranceSeconds, 1, 600);
        errors.Number("shutterSeconds", rules.ShutterSeconds, 0.1, 20);
        for (var i = 0; i < rules.StepsCelsius?.Count; i++)
        {
            errors.Number(MethodErrors.Entry("stepsCelsius", i), rules.StepsCelsius[i], 0.1, 50);
            errors.Require(i == 0 || rules.StepsCelsius[i] < rules.StepsCelsius[i - 1], MethodErrors.Entry("stepsCelsius", i), "is not finer than the step before");
        }

        errors.Number("optionalStepCelsius", rules.OptionalStepCelsius, 0.1, 50);
        errors.Require(rules.Aim == EquilibriumAim.FlashNoFlash || rules.StepsCelsius is { Count: > 0 }, "stepsCelsius", "is missing: a flash point is searched in steps");
        errors.Require(rules.Aim == EquilibriumAim.FlashPoint || rules.SetPoint is not null, "setPoint", "is missing: say at which temperature a specification is tested");
        errors.Number("setPoint.coefficientCelsiusPerKilopascal", rules.SetPoint?.CoefficientCelsiusPerKilopascal, 0, 1);
        errors.Number("setPoint.standardKilopascals", rules.SetPoint?.StandardKilopascals, 90, 110);
        errors.Number("setPoint.stepCelsius", rules.SetPoint?.StepCelsius, 0.01, 10);
    }

    private static void Charge(MethodErrors errors, EquilibriumCharge charge)
    {
        errors.Number("upToCelsius", charge.UpToCelsius, -100, 500);
        errors.Text("material", charge.Material);
        errors.Number("millilitres", charge.Millilitres, 0.1, 200);
        errors.Number("toleranceMillilitres", charge.ToleranceMillilitres, 0, 20);
        errors.Number("waitSeconds", charge.WaitSeconds, 1, 3600);
    }
}
