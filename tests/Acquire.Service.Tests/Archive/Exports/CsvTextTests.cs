using System.Text;
using Acquire.Service.Archive.Exports;
using CsCheck;
using Xunit;

namespace Acquire.Service.Tests.Archive.Exports;

public sealed class CsvTextTests
{
    [Theory]
    [InlineData(null, "")]
    [InlineData("Turbine oil", "Turbine oil")]
    [InlineData("Turbine oil, lot 3", "\"Turbine oil, lot 3\"")]
    [InlineData("the \"new\" one", "\"the \"\"new\"\" one\"")]
    [InlineData("two\r\nlines", "\"two\r\nlines\"")]
    [InlineData("=1+1", "'=1+1")]
    [InlineData("-foamed", "'-foamed")]
    [InlineData("+1, @2", "\"'+1, @2\"")]
    [InlineData("@a", "'@a")]
    [InlineData("a=1", "a=1")]
    public void A_text_is_quoted_as_RFC_4180_has_it_and_never_a_formula(string? text, string expected) => Assert.Equal(expected, CsvText.Field(text));

    [Fact]
    public void Whatever_the_texts_are_their_line_is_taken_apart_again() => Gen.String.Array[1, 6].Sample(texts =>
    {
        var line = new StringBuilder();
        CsvText.Line(line, texts.Select(CsvText.Field));

        Assert.EndsWith("\r\n", line.ToString(), StringComparison.Ordinal);
        Assert.Equal(texts.Select(text => text.Length > 0 && "=+-@\t\r".Contains(text[0], StringComparison.Ordinal) ? "'" + text : text), Fields(line.ToString()[..^2]));
    });

    // By the letter of RFC 4180, section 2.
    private static List<string> Fields(string line)
    {
        var (fields, at) = (new List<string>(), 0);
        while (true)
        {
            var field = new StringBuilder();
            if (at < line.Length && line[at] == '"')
            {
                for (at++; line[at] != '"' || (at + 1 < line.Length && line[at + 1] == '"'); at++)
                {
                    field.Append(line[at]);
                    at += line[at] == '"' ? 1 : 0;
                }

                at++;
            }
            else
            {
                for (; at < line.Length && line[at] != ','; at++)
                {
                    field.Append(line[at]);
                }
            }

            fields.Add(field.ToString());
            if (at >= line.Length)
            {
                return fields;
            }

            at++;
        }
    }
}
