using Acquire.Core.Results;

namespace Acquire.Core.Runs;

/// <summary>What every rule works with: the state, the plan, and where facts go.</summary>
internal readonly record struct Bench(RunState State, RunPlan Plan, List<RunOutput> Outputs)
{
    /// <summary>The rules of the run.</summary>
    public RunRules Rules => Plan.Scouting ? State.Scouting.Rules(Plan) : Plan.Rules;

    /// <summary>The rules of an equilibrium run.</summary>
    public PortionRules Portions => Plan.Portions;

    /// <summary>Limits for judging the record.</summary>
    public Methods.JudgementRules Judgement => Plan.IsEquilibrium ? Plan.Method.Judgement : Rules.Judgement;

    /// <summary>Moves to a phase.</summary>
    public void MoveTo(RunPhase phase)
    {
        if (State.Phase == phase)
        {
            return;
        }

        Outputs.Add(new PhaseChanged(State.AtSeconds, State.Phase, phase, State.TemperatureCelsius));
        State.Phase = phase;
    }

    /// <summary>Records a finding.</summary>
    public void Find(string code, FindingWeight weight, double atSeconds, double? celsius, double? value, double? limit, string text)
    {
        var finding = new Finding(code, weight, atSeconds, celsius, value, limit, text);
        State.Findings.Add(finding);
        Outputs.Add(new FindingRaised(State.AtSeconds, finding));
    }

    /// <summary>Raises an alarm unless it stands already.</summary>
    public void Alarm(string code, string text)
    {
        if (!State.Alarms.Contains(code))
        {
            State.Alarms.Add(code);
            State.AlarmTexts[code] = text;
            Outputs.Add(new AlarmRaised(State.AtSeconds, code, text));
        }
    }

    /// <summary>Clears an alarm that stands.</summary>
    public void Clear(string code)
    {
        if (State.Alarms.Remove(code))
        {
            Outputs.Add(new AlarmCleared(State.AtSeconds, code));
        }
    }

    /// <summary>Whether the specimen is being heated towards a point that is still to be found.</summary>
    public bool Searching => State.Phase is RunPhase.ControlledHeating or RunPhase.ApplyingTestFlame or RunPhase.HeatingToFirePoint;

    /// <summary>The phase to go back to when an application has been judged.</summary>
    public RunPhase BetweenApplications => State.Flash is null
        ? State.RampLedger.EasedSince is null ? RunPhase.FastHeating : RunPhase.ControlledHeating
        : RunPhase.HeatingToFirePoint;
}
