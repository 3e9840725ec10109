namespace Acquire.Core.Methods.Advising;

/// <summary>What is in the cup, as far as the choice of a method depends on it.</summary>
public enum ProductKind
{
    /// <summary>Diesel, gas oil, kerosine, light heating oil, also with biodiesel blended in.</summary>
    DistillateFuel,

    /// <summary>Heavy fuel oil and other residual fuels.</summary>
    ResidualFuel,

    /// <summary>A lubricating oil that was not used yet.</summary>
    LubricantNew,

    /// <summary>A lubricating oil drawn from a machine.</summary>
    LubricantInService,

    /// <summary>Fatty acid methyl esters, unblended (B100).</summary>
    Fame,

    /// <summary>A solvent.</summary>
    Solvent,

    /// <summary>Paint or varnish.</summary>
    Paint,

    /// <summary>Bitumen, also cut back.</summary>
    Bitumen,

    /// <summary>Anything else.</summary>
    Other,
}
