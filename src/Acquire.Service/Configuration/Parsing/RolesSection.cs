using Acquire.Service.Archive.Corrections;

namespace Acquire.Service.Configuration.Parsing;

/// <summary>Reads who may correct and approve closed runs.</summary>
internal static class RolesSection
{
    private const int MostNames = 200;

    public static RunRoles Read(ConfigObject root)
    {
        if (root.Section("roles", optional: true) is not { } section)
        {
            return RunRoles.None;
        }

        var roles = new RunRoles(section.Names("mayCorrect", MostNames), section.Names("mayApprove", MostNames));
        section.RefuseUnknownKeys();
        return roles;
    }
}
