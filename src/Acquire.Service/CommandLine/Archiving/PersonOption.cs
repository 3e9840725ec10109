using System.CommandLine;
using Acquire.Core;
using Acquire.Service.Archive.Corrections;

namespace Acquire.Service.CommandLine.Archiving;

/// <summary>Who does something to the record, and why.</summary>
internal static class PersonOption
{
    public static Option<string> Person()
    {
        var option = new Option<string>("--person") { Description = $"Who answers for it: {PersonName.Allowed}; a name of the roles in the configuration.", Required = true };
        option.Validators.Add(result =>
        {
            if (result.Tokens is [var token] && PersonName.WhyNot(token.Value) is { } fault)
            {
                result.AddError($"--person: {fault}");
            }
        });
        return option;
    }

    public static Option<string> Reason()
    {
        var option = new Option<string>("--reason") { Description = "Why: 1 to 500 printable characters.", Required = true };
        option.Validators.Add(result =>
        {
            if (result.Tokens is [var token] && CorrectionRules.WhyNoText("--reason", token.Value) is { } fault)
            {
                result.AddError(fault.ToString());
            }
        });
        return option;
    }
}
