using Acquire.Service.Sources.Serial;
using Xunit;

namespace Acquire.Service.Tests.Sources.Serial;

public sealed class PortDiagnosisTests
{
    // The codes are those of Linux, as the library hands them through (errno-base.h).
    [Theory]
    [InlineData(13, "group dialout")]
    [InlineData(1, "group dialout")]
    [InlineData(16, "in use by another program")]
    [InlineData(25, "not a serial port")]
    [InlineData(99, "in use by another program, or")]
    public void Refused_port_says_what_to_do(int code, string words)
    {
        var exception = new UnauthorizedAccessException("denied", new IOException("inner", code));

        Assert.Contains(words, PortDiagnosis.ExplainOpen("/dev/ttyUSB0", isThere: true, exception), StringComparison.Ordinal);
    }

    [Fact]
    public void Missing_port_is_told_from_a_forbidden_one()
    {
        var text = PortDiagnosis.ExplainOpen("/dev/ttyUSB0", isThere: false, new UnauthorizedAccessException("denied", new IOException("inner", 13)));

        Assert.Contains("is not there", text, StringComparison.Ordinal);
    }

    [Fact]
    public void Unplugging_is_told_from_a_fault()
    {
        Assert.Contains("unplugged", PortDiagnosis.ExplainLoss("/dev/x", isThere: false, null), StringComparison.Ordinal);
        Assert.Contains("was lost (broken)", PortDiagnosis.ExplainLoss("/dev/x", isThere: true, new IOException("broken")), StringComparison.Ordinal);
    }
}
