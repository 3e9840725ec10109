using System.Globalization;
using System.Security.Cryptography;

namespace Acquire.Service.Lanes.Starting;

/// <summary>Makes run ids: sortable by start, readable, unique.</summary>
public static class RunIds
{
    private const int StartCharacters = 17;
    private const int EndCharacters = 5;

    /// <summary>An id such as `20261125T201503Z-bench-1-7f3a`: start in UTC, tester, four random hexadecimal digits.</summary>
    public static string Make(DateTimeOffset startedAt, string testerId) =>
        string.Create(CultureInfo.InvariantCulture, $"{startedAt.UtcDateTime:yyyyMMdd'T'HHmmss'Z'}-{testerId}-{RandomNumberGenerator.GetHexString(4, lowercase: true)}");

    /// <summary>The tester in an id of this form; null for any other text.</summary>
    public static string? TesterOf(string runId)
    {
        ArgumentNullException.ThrowIfNull(runId);
        return runId.Length > StartCharacters + EndCharacters && runId[StartCharacters - 1] == '-' && runId[^EndCharacters] == '-' ? runId[StartCharacters..^EndCharacters] : null;
    }
}
