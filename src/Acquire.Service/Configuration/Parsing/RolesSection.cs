using Acquire.Service.Archive.Corrections;

namespace Acquire.Service.Configuration.Parsing;

/// <summary>Reads who may correct, approve, hold and prune closed runs.</summary>
internal static class RolesSection
{
    private const int MostNames = 200;
    private const int FewestKeepDays = 30;
    private const int MostKeepDays = 36_500;

    public static RunRoles Read(ConfigObject root)
    {
        if (root.Section("roles", optional: true) is not { } section)
        {
            return RunRoles.None;
        }

        var roles = new RunRoles(section.Names("mayCorrect", MostNames), section.Names("mayApprove", MostNames)) { MayHold = section.Names("mayHold", MostNames), MayPrune = section.Names("mayPrune", MostNames) };
        section.RefuseUnknownKeys();
        return roles;
    }

    /// <summary>How long runs are kept at least, days; null where the file does not say.</summary>
    public static int? ReadKeepDays(ConfigObject root)
    {
        if (root.Section("retention", optional: true) is not { } section)
        {
            return null;
        }

        var days = section.Whole("keepDays", FewestKeepDays, MostKeepDays, fallback: null);
        section.RefuseUnknownKeys();
        return days;
    }
}
