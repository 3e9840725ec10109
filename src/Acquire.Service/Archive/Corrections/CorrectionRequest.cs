namespace Acquire.Service.Archive.Corrections;

/// <summary>Asks for a closed run to be corrected.</summary>
/// <param name="Field">What is to be corrected.</param>
/// <param name="Text">What is to stand there, for a specimen or a remark; null for a number.</param>
/// <param name="Number">What is to stand there, °C for the expected flash point, kPa for the station pressure; null for a text.</param>
/// <param name="Reason">Why; 1 to 500 characters.</param>
/// <param name="Person">Who answers for it; a name of <see cref="RunRoles.MayCorrect"/>.</param>
public sealed record CorrectionRequest(CorrectedField Field, string? Text, double? Number, string Reason, string Person)
{
    /// <summary>Most characters of a reason and of a remark.</summary>
    public const int LongestText = 500;
}
