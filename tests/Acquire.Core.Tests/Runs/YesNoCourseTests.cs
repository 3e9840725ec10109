using System.Text.Json;
using System.Text.Json.Serialization;
using Acquire.Core.Runs;
using CsCheck;
using Xunit;

namespace Acquire.Core.Tests.Runs;

public sealed class YesNoCourseTests
{
    private static readonly JsonSerializerOptions Written = new() { NumberHandling = JsonNumberHandling.AllowNamedFloatingPointLiterals };

    private static YesNoCourse Course(params (double At, bool Yes)[] readings)
    {
        var course = new YesNoCourse();
        foreach (var (at, yes) in readings)
        {
            course.Take(at, yes);
        }

        return course;
    }

    [Fact]
    public void What_was_so_is_told_by_the_newest_reading_before_a_moment()
    {
        var course = Course((10, true), (11, true), (12, false), (20, false), (21, true));

        Assert.Equal([null, true, true, false, false, true], new[] { 9.9, 10, 11.9, 12, 20.9, 30 }.Select(course.At));
        Assert.Equal((true, 21.0, 21.0), (course.Newest!.Value, course.Since, course.ReadAt));
        Assert.True(course.Always(false, 12, 20.9) && course.Ever(true, 12, 21) && course.Ever(false, 10, 12));
        Assert.False(course.Always(false, 12, 21) || course.Always(true, 9, 11) || course.Ever(true, 12, 20.9));
    }

    [Fact]
    public void Nothing_is_known_before_the_first_reading()
    {
        var course = Course();

        Assert.Null(course.Newest);
        Assert.False(course.Ever(true, 0, 1) || course.Ever(false, 0, 1) || course.Always(true, 0, 1) || course.Always(false, 0, 1));
    }

    [Fact]
    public void Any_course_answers_for_its_newest_turns_as_a_list_of_all_readings_does_and_survives_being_written() =>
        Gen.Select(Gen.Bool.Array[1, 60], Gen.Double[-2, 62], Gen.Double[0, 10]).Sample((values, from, length) =>
        {
            var readings = values.Select((yes, i) => ((double)i, yes)).ToArray();
            var course = JsonSerializer.Deserialize<YesNoCourse>(JsonSerializer.Serialize(Course(readings), Written), Written)!;
            var inside = readings.Where(reading => reading.Item1 > from && reading.Item1 <= from + length).Select(reading => reading.yes).ToList();
            if (readings.LastOrDefault(reading => reading.Item1 <= from, (-1, false)) is { Item1: >= 0 } before)
            {
                inside.Add(before.yes);
            }

            return course.Ever(true, from, from + length) == inside.Contains(true) && course.Ever(false, from, from + length) == inside.Contains(false);
        }, iter: 2000);

    [Fact]
    public void A_course_that_flutters_for_ever_stays_small()
    {
        var course = new YesNoCourse();
        for (var i = 0; i < 100_000; i++)
        {
            course.Take(i, i % 2 == 0);
        }

        Assert.True(JsonSerializer.Serialize(course).Length < 4000);
        Assert.False(course.At(99_999));
        Assert.Null(course.At(5));
    }
}
