using System.Text.Json;
using Acquire.Service.Archive.Influx.Sending;
using Acquire.Service.Configuration;
using CsCheck;
using Xunit;

namespace Acquire.Service.Tests.Archive.Influx;

public sealed class ServerWordsTests
{
    private static readonly InfluxConfig Influx = new() { Url = new("http://h:8086/"), Org = "lab", Bucket = "oils" };

    [Theory]
    [InlineData("""{"code":"invalid","message":"unable to parse 'x'"}""", "unable to parse 'x'")]
    [InlineData("""{"error":"database not found"}""", "database not found")]
    [InlineData("""{"message":7}""", """{"message":7}""")]
    [InlineData("404 page\n not found\r\n", "404 page not found")]
    [InlineData("""{"message":"\ud800"}""", """{"message":"\ud800"}""")]
    [InlineData("[1]", "[1]")]
    [InlineData("", "")]
    public void The_sentence_of_an_answer_is_found(string body, string words) => Assert.Equal(words, ServerWords.Of(body));

    [Theory]
    [InlineData("partial write: points beyond retention policy dropped=5000", 5000)]
    [InlineData("x dropped=1 y", 1)]
    [InlineData("dropped=", 0)]
    [InlineData("dropped=99999999999999999999", 0)]
    [InlineData("", 0)]
    public void The_number_of_dropped_points_is_found(string words, long dropped) => Assert.Equal(dropped, ServerWords.Dropped(words));

    [Fact]
    public void Whatever_the_body_is_the_words_are_one_line_and_short() => Gen.Select(Gen.String, Gen.String, Gen.Int[0, 600]).Sample((body, message, repeats) =>
    {
        foreach (var words in new[] { ServerWords.Of(body), ServerWords.Of(JsonSerializer.Serialize(new { message = string.Concat(Enumerable.Repeat(message, repeats)) })) })
        {
            Assert.InRange(words.Length, 0, 300);
            Assert.DoesNotContain(words, char.IsControl);
        }
    });

    [Fact]
    public void Every_status_means_something_and_only_an_answer_of_the_server_itself_means_that_it_has_it()
    {
        for (var status = 100; status < 600; status++)
        {
            var answer = InfluxDiagnosis.Of(Influx, new(status, "words", false, null, null));
            var page = InfluxDiagnosis.Of(Influx, new(status, "<html>", true, "http://elsewhere/", null));
            Assert.Equal(status is >= 200 and < 300, answer.Outcome == WriteOutcome.Taken);
            Assert.NotEqual(WriteOutcome.Taken, page.Outcome);
            Assert.DoesNotContain("<html>", page.Words, StringComparison.Ordinal);
            Assert.NotEmpty(answer.Words);
        }
    }
}
