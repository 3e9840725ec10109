using Acquire.Core.Runs;
using CsCheck;
using Xunit;

namespace Acquire.Core.Tests.Runs;

public sealed class PersonEntryReaderTests
{
    private const string Header = "time_s,after_reading_s,entry,person";

    private static PersonEntries Read(params string[] lines) => PersonEntryReader.Read("seen.csv", lines);

    [Fact]
    public void Portions_stand_between_what_was_seen_with_their_volume_where_it_is_known()
    {
        PersonEntry[] made = [new PortionCharged(10, 9.9, 2.05, "Ada"), new ObservationMade(70, 69.9, Sighting.Nothing), new PortionCharged(200, 199.9, null)];

        var read = PersonEntryReader.Read("seen.csv", [PersonEntryWords.HeaderWithPortions, .. made.Select(PersonEntryWords.LineWithPortions)]);

        Assert.Empty(read.Errors);
        Assert.Equal(made, read.Entries);
        var wrong = PersonEntryReader.Read("seen.csv", [PersonEntryWords.HeaderWithPortions, "1,1,charged,,0"]);
        Assert.Equal("seen.csv, line 2, millilitres", Assert.Single(wrong.Errors).Path);
    }

    [Fact]
    public void Every_entry_is_read_back_to_itself()
    {
        PersonEntry[] entries =
        [
            new ObservationMade(0.1 + 0.2, null, Sighting.Nothing),
            new ObservationMade(12.5, 12.4, Sighting.Flash, "Berg, \"R\""),
            new ObservationWithdrawn(15, 14.9, 12.5, Sighting.Flash, "Ada"),
            new ObservationMade(20, 19, Sighting.WentOut),
        ];

        var read = Read([PersonEntryWords.Header, .. entries.Select(PersonEntryWords.Line)]);

        Assert.Empty(read.Errors);
        Assert.Equal(entries, read.Entries);
    }

    [Fact]
    public void Time_and_entry_are_enough_and_stand_after_the_last_reading_that_is_not_later()
    {
        var read = Read("entry,note,time_s", "halo,x,12.5", "", "flash,y,13");

        Assert.Equal([new ObservationMade(12.5, 12.5, Sighting.Halo), new ObservationMade(13, 13, Sighting.Flash)], read.Entries);
    }

    [Theory]
    [InlineData("seen.csv", "is empty")]
    [InlineData("seen.csv, line 1", "has no column entry", "time_s,seen")]
    [InlineData("seen.csv, line 1", "names a column twice", "time_s,entry,entry")]
    [InlineData("seen.csv, line 1", "is the file cut off?", "time_s,after_reading_s,entry,person,mill")]
    [InlineData("seen.csv, line 2", "has 2 fields where the header has 4", Header, "1,2")]
    [InlineData("seen.csv, line 2, time_s", "'x' is not a finite number", Header, "x,1,flash,")]
    [InlineData("seen.csv, line 2, time_s", "is empty", Header, ",1,flash,")]
    [InlineData("seen.csv, line 2, time_s", "is not within", Header, "1e12,1,flash,")]
    [InlineData("seen.csv, line 2, after_reading_s", "'NaN' is not a finite number", Header, "1,NaN,flash,")]
    [InlineData("seen.csv, line 2, entry", "'Flash' is no entry; known are nothing, halo, flash, burning, went-out, charged, taken-back", Header, "1,1,Flash,")]
    [InlineData("seen.csv, line 2, entry", "there is none that could be", Header, "1,1,taken-back,")]
    [InlineData("seen.csv, line 4, entry", "there is none that could be", Header, "1,1,halo,", "2,1,taken-back,", "3,1,taken-back,")]
    [InlineData("seen.csv, line 3, time_s", "more than 10 s after", Header, "1,1,halo,", "12,1,taken-back,")]
    [InlineData("seen.csv, line 3, time_s", "earlier than the entry before", Header, "2,1,halo,", "1,1,flash,")]
    [InlineData("seen.csv, line 2, person", "begins with '='", Header, "1,1,halo,=A1")]
    public void What_cannot_be_read_is_named_with_line_and_column(string path, string message, params string[] lines)
    {
        var read = Read(lines);

        var error = Assert.Single(read.Errors);
        Assert.Equal(path, error.Path);
        Assert.Contains(message, error.Message, StringComparison.Ordinal);
        Assert.Empty(read.Entries);
    }

    [Fact]
    public void Whatever_the_text_is_reading_never_throws_and_gives_entries_or_errors()
    {
        Gen.Select(Gen.String.Array[0, 6], Gen.Bool).Sample((lines, headed) =>
        {
            var read = PersonEntryReader.Read("f", headed ? [Header, .. lines] : lines);
            Assert.True(read.Errors.Count == 0 || read.Entries.Count == 0);
            Assert.InRange(read.Errors.Count, 0, 24);
        }, iter: 500);
    }
}
