using System.Globalization;
using System.Security.Cryptography;

namespace Acquire.Service.Lanes.Starting;

/// <summary>Makes run ids: sortable by start, readable, unique.</summary>
public static class RunIds
{
    /// <summary>An id such as `20261125T201503Z-bench-1-7f3a`: start in UTC, tester, four random hexadecimal digits.</summary>
    public static string Make(DateTimeOffset startedAt, string testerId) =>
        string.Create(CultureInfo.InvariantCulture, $"{startedAt.UtcDateTime:yyyyMMdd'T'HHmmss'Z'}-{testerId}-{RandomNumberGenerator.GetHexString(4, lowercase: true)}");
}
