namespace Acquire.Core.Methods;

/// <summary>Whether a method has figures of their own for a material.</summary>
public static class MaterialRules
{
    /// <summary>What is wrong with the material; null where nothing is.</summary>
    /// <param name="path">Where it came from.</param>
    /// <param name="material">In the words of the method; null for every material that the method does not name.</param>
    /// <param name="method">The method.</param>
    public static InputError? Check(string path, string? material, MethodDefinition method)
    {
        ArgumentNullException.ThrowIfNull(method);
        if (material is null || method.Materials.Contains(material, StringComparer.Ordinal))
        {
            return null;
        }

        return new(path, method.Materials.Count == 0
            ? $"{method.Id} makes no difference between materials; leave it out"
            : $"{method.Id} has figures of their own for {string.Join(", ", method.Materials.Select(one => $"\"{one}\""))} only; leave it out for every other material");
    }
}
