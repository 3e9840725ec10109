namespace Acquire.Core.Methods.Reading;

/// <summary>The ranges of an equilibrium procedure.</summary>
internal static class EquilibriumChecks
{
    public static void Check(MethodErrors errors, EquilibriumRules? rules, TemperatureRange scope)
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

        Charges(errors, rules, scope);
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
        Steps(errors, rules);
        errors.Require(rules.Aim == EquilibriumAim.FlashNoFlash || rules.StepsCelsius is { Count: > 0 }, "stepsCelsius", "is missing: a flash point is searched in steps");
        errors.Require(rules.Aim == EquilibriumAim.FlashPoint || rules.SetPoint is not null, "setPoint", "is missing: say at which temperature a specification is tested");
        errors.Number("setPoint.coefficientCelsiusPerKilopascal", rules.SetPoint?.CoefficientCelsiusPerKilopascal, 0, 1);
        errors.Number("setPoint.standardKilopascals", rules.SetPoint?.StandardKilopascals, 90, 110);
        errors.Number("setPoint.stepCelsius", rules.SetPoint?.StepCelsius, 0.01, 10);
    }

    // The first charge that fits holds, so one behind a wider one never does, and where none fits nothing is known.
    private static void Charges(MethodErrors errors, EquilibriumRules rules, TemperatureRange scope)
    {
        for (var i = 1; i < rules.Charges.Count; i++)
        {
            var one = rules.Charges[i];
            var hidden = rules.Charges.Take(i).Any(before => (before.Material is null || before.Material == one.Material)
                && (before.UpToCelsius is null || (one.UpToCelsius is { } upTo && upTo <= before.UpToCelsius)));
            errors.Require(!hidden, MethodErrors.Entry("charges", i), "is never reached: a charge before it holds wherever this one would. Narrow ones first");
        }

        errors.Require(rules.Charges.Count == 0 || rules.Charges.Any(charge => charge.Material is null && !(charge.UpToCelsius < scope.To)), "charges",
            $"leaves open what is charged up to the end of the scope ({scope.To} °C): end with a charge without material and without upToCelsius");
        errors.Require(rules.Charges.Count == 0 || rules.WaitToleranceSeconds < rules.Charges.Min(charge => charge.WaitSeconds), "waitToleranceSeconds", "is not below the shortest wait of a charge");
    }

    // A block that may be off by more than half a step could test the one temperature at the other.
    private static void Steps(MethodErrors errors, EquilibriumRules rules)
    {
        if (rules.StepsCelsius is not { Count: > 0 } steps)
        {
            return;
        }

        errors.Require(!(rules.OptionalStepCelsius >= steps[^1]), "optionalStepCelsius", "is not finer than the last of stepsCelsius");
        errors.Require(rules.BlockToleranceCelsius <= steps[^1] / 2, "blockToleranceCelsius", "is above half of the last of stepsCelsius: neighbouring temperatures could not be told apart");
        errors.Require(!(rules.BlockToleranceCelsius > rules.OptionalStepCelsius), "blockToleranceCelsius", "is above optionalStepCelsius");
    }

    private static void Charge(MethodErrors errors, EquilibriumCharge charge)
    {
        errors.Number("upToCelsius", charge.UpToCelsius, -100, 500);
        errors.Text("material", charge.Material);
        errors.Number("millilitres", charge.Millilitres, 0.1, 200);
        errors.Number("toleranceMillilitres", charge.ToleranceMillilitres, 0, 20);
        errors.Require(!(charge.ToleranceMillilitres >= charge.Millilitres), "toleranceMillilitres", "is not below millilitres");
        errors.Number("waitSeconds", charge.WaitSeconds, 1, 3600);
    }
}
