using Acquire.Service.Lanes.Resuming;

namespace Acquire.Service.Configuration.Parsing;

/// <summary>Reads when a run goes on after the service had stopped.</summary>
internal static class ResumeSection
{
    public static ResumeRules Read(ConfigObject root)
    {
        if (root.Section("resume", optional: true) is not { } section)
        {
            return ResumeRules.Usual;
        }

        var rules = new ResumeRules(section.Number("withinMinutes", 0, ResumeRules.MostMinutes, "min", optional: true) ?? ResumeRules.UsualMinutes);
        section.RefuseUnknownKeys();
        return rules;
    }
}
