namespace Acquire.Core.Runs;

/// <summary>Where a run stands.</summary>
public enum RunPhase
{
    /// <summary>The cup is charged; nothing has been judged yet.</summary>
    Ready,

    /// <summary>Heating at the fast rate, well below the expected flash point.</summary>
    FastHeating,

    /// <summary>Heating inside the controlled band towards the flash point.</summary>
    ControlledHeating,

    /// <summary>The test flame is over the cup, or its effect is being judged.</summary>
    ApplyingTestFlame,

    /// <summary>The flash point is found; heating goes on to the fire point.</summary>
    HeatingToFirePoint,

    /// <summary>The determination is over and the cup is still hot.</summary>
    Cooling,

    /// <summary>The record is closed; nothing more is added to it.</summary>
    Closed,

    /// <summary>Equilibrium: the block is on its way to the set temperature, or has not kept it for long enough.</summary>
    SettingTemperature,

    /// <summary>Equilibrium: the block keeps the set temperature; a fresh test portion is to be charged.</summary>
    AwaitingPortion,

    /// <summary>Equilibrium: a portion is in the cup and comes to the temperature of the block.</summary>
    PortionWaiting,

    /// <summary>Equilibrium: the portion has been tested; the cup is to be emptied and cleaned, and the block set to the next temperature.</summary>
    ClearingCup,
}
