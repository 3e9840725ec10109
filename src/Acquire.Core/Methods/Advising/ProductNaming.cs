using System.Text.RegularExpressions;

namespace Acquire.Core.Methods.Advising;

/// <summary>How the words of a method file speak of a product. The words are data, and every note quotes them, so that the person can judge.</summary>
internal static partial class ProductNaming
{
    /// <summary>A product as a person says it.</summary>
    public static string Spoken(ProductKind product) => product switch
    {
        ProductKind.DistillateFuel => "distillate fuel",
        ProductKind.ResidualFuel => "residual fuel",
        ProductKind.LubricantNew => "new lubricant",
        ProductKind.LubricantInService => "lubricant in service",
        ProductKind.Fame => "fatty acid methyl esters",
        ProductKind.Solvent => "solvent",
        ProductKind.Paint => "paint or varnish",
        ProductKind.Bitumen => "bitumen",
        _ => "another product",
    };

    /// <summary>The material of a precision statement that the product is, in the words of the method files; null for every other.</summary>
    public static string? Material(ProductKind product) => product switch
    {
        ProductKind.ResidualFuel => "residual fuel",
        ProductKind.Solvent => "hydrocarbon solvents",
        _ => null,
    };

    /// <summary>Whether and how the method's use covers the product.</summary>
    public static ProductFit Fit(MethodDefinition method, ProductKind product)
    {
        string[] texts = [method.Use ?? "", .. (method.Equilibrium?.Charges ?? []).Select(charge => charge.Material ?? "")];
        return texts.Any(text => Names(text, product)) ? ProductFit.Named
            : texts.Any(text => Covers(text, product)) ? ProductFit.Covered
            : texts.Any(text => Petroleum().IsMatch(text) || Enum.GetValues<ProductKind>().Any(other => Names(text, other))) ? ProductFit.OthersOnly
            : ProductFit.Unsaid;
    }

    /// <summary>Whether what a method is not for is the product.</summary>
    public static bool Excludes(string notFor, ProductKind product) =>
        Names(notFor, product) || (IsPetroleum(product) && Petroleum().IsMatch(notFor));

    /// <summary>Whether what a method is not for may be true of this specimen: a property that any may have, or a kind of this product.</summary>
    public static bool IsOpen(string notFor, ProductKind product) =>
        !Enum.GetValues<ProductKind>().Any(known => Excludes(notFor, known)) && (product is ProductKind.Paint or ProductKind.Other || !AnyPaint().IsMatch(notFor));

    /// <summary>The words of the method's use, between commas, that name or cover the product; the whole use where none does alone.</summary>
    public static string Quote(MethodDefinition method, ProductKind product)
    {
        var use = (method.Use ?? "").TrimEnd('.');
        var parts = use.Split([", ", "; ", ": "], StringSplitOptions.None);
        return parts.FirstOrDefault(part => Names(part, product)) ?? parts.FirstOrDefault(part => Covers(part, product)) ?? use;
    }

    private static bool Names(string text, ProductKind product) => product switch
    {
        ProductKind.DistillateFuel => Distillate().IsMatch(text),
        ProductKind.ResidualFuel => Residual().IsMatch(text),
        ProductKind.LubricantNew => NewLubricant().IsMatch(text),
        ProductKind.LubricantInService => Lubricant().IsMatch(text),
        ProductKind.Fame => Fame().IsMatch(text),
        ProductKind.Solvent => Solvent().IsMatch(text),
        ProductKind.Paint => Paint().IsMatch(text),
        ProductKind.Bitumen => Bitumen().IsMatch(text),
        _ => false,
    };

    // "Other" may be a petroleum product; the note quotes the words and the person decides. Esters and paints are none.
    private static bool Covers(string text, ProductKind product) =>
        Liquids().IsMatch(text) || (product is not (ProductKind.Fame or ProductKind.Paint) && Petroleum().IsMatch(text));

    private static bool IsPetroleum(ProductKind product) =>
        product is ProductKind.DistillateFuel or ProductKind.ResidualFuel or ProductKind.LubricantNew or ProductKind.LubricantInService or ProductKind.Bitumen;

    [GeneratedRegex(@"(?<!residual )\bfuels\b|\bfuel oils\b", RegexOptions.IgnoreCase | RegexOptions.CultureInvariant)]
    private static partial Regex Distillate();

    [GeneratedRegex(@"(?<!distillate )\bfuels\b|\bfuel oils\b", RegexOptions.IgnoreCase | RegexOptions.CultureInvariant)]
    private static partial Regex Residual();

    [GeneratedRegex(@"(?<!\bused )\blubricating oils\b|\bnew and used lubricating oils\b", RegexOptions.IgnoreCase | RegexOptions.CultureInvariant)]
    private static partial Regex NewLubricant();

    [GeneratedRegex(@"(?<!\bnew )\blubricating oils\b", RegexOptions.IgnoreCase | RegexOptions.CultureInvariant)]
    private static partial Regex Lubricant();

    [GeneratedRegex(@"\bfatty acid methyl esters\b", RegexOptions.IgnoreCase | RegexOptions.CultureInvariant)]
    private static partial Regex Fame();

    [GeneratedRegex(@"\bsolvents\b", RegexOptions.IgnoreCase | RegexOptions.CultureInvariant)]
    private static partial Regex Solvent();

    // Not every paint is water-borne: what is not for those alone is a condition, not an exclusion.
    [GeneratedRegex(@"(?<!water-borne )\bpaints\b|\bvarnishes\b", RegexOptions.IgnoreCase | RegexOptions.CultureInvariant)]
    private static partial Regex Paint();

    [GeneratedRegex(@"\bpaints\b", RegexOptions.IgnoreCase | RegexOptions.CultureInvariant)]
    private static partial Regex AnyPaint();

    [GeneratedRegex(@"\bbitumen\b|\bcut-back residua\b", RegexOptions.IgnoreCase | RegexOptions.CultureInvariant)]
    private static partial Regex Bitumen();

    [GeneratedRegex(@"\bpetroleum products\b", RegexOptions.IgnoreCase | RegexOptions.CultureInvariant)]
    private static partial Regex Petroleum();

    [GeneratedRegex(@"\bliquids?\b", RegexOptions.IgnoreCase | RegexOptions.CultureInvariant)]
    private static partial Regex Liquids();
}

/// <summary>How the use of a method covers a product; the better the smaller.</summary>
internal enum ProductFit
{
    /// <summary>The use names it.</summary>
    Named,

    /// <summary>The use names liquids or petroleum products at large.</summary>
    Covered,

    /// <summary>The use names no product, or is absent.</summary>
    Unsaid,

    /// <summary>The use names other products only.</summary>
    OthersOnly,
}
