using System.Numerics;
using Acquire.Core.Readings;
using CsCheck;
using Xunit;

namespace Acquire.Core.Tests.Readings;

public sealed class ReadingMarkWordsTests
{
    [Fact]
    public void Every_single_mark_has_one_word_and_a_sentence_of_its_own()
    {
        var single = Enum.GetValues<ReadingMarks>().Where(mark => BitOperations.IsPow2((int)mark));

        Assert.Equal(single, ReadingMarkWords.All.Select(known => known.Mark));
        Assert.Equal(ReadingMarks.All, ReadingMarkWords.All.Aggregate(ReadingMarks.None, (all, known) => all | known.Mark));
        Assert.Equal(ReadingMarkWords.All.Count, ReadingMarkWords.All.Select(known => known.Word).Distinct().Count());
        Assert.Equal(ReadingMarkWords.All.Count, ReadingMarkWords.All.Select(known => known.Sentence).Distinct().Count());
        Assert.All(ReadingMarkWords.All, known => Assert.Matches("^[A-Z].*: check .*\\.$", known.Sentence));
    }

    // The words are in files that people keep: this list may grow and never change.
    [Theory]
    [InlineData(ReadingMarks.OpenCircuit, "open-circuit")]
    [InlineData(ReadingMarks.ShortCircuit, "short-circuit")]
    [InlineData(ReadingMarks.ReversedPolarity, "reversed-polarity")]
    [InlineData(ReadingMarks.Stuck, "stuck")]
    [InlineData(ReadingMarks.ImpossibleJump, "impossible-jump")]
    [InlineData(ReadingMarks.OutOfRange, "out-of-range")]
    [InlineData(ReadingMarks.ConverterSaturated, "converter-saturated")]
    [InlineData(ReadingMarks.Stale, "stale")]
    [InlineData(ReadingMarks.JunctionMissing, "junction-missing")]
    [InlineData(ReadingMarks.TransmitterFailure, "transmitter-failure")]
    [InlineData(ReadingMarks.OutsideCalibration, "outside-calibration")]
    [InlineData(ReadingMarks.StepTaken, "step-taken")]
    [InlineData(ReadingMarks.LagUncorrected, "lag-uncorrected")]
    public void A_word_never_changes(ReadingMarks mark, string word)
    {
        Assert.Equal(word, ReadingMarkWords.Join(mark));
        Assert.Equal(word, ReadingMarkWords.Of(mark).Word);
    }

    [Fact]
    public void Words_come_back_as_the_marks_they_were_made_of() =>
        Gen.Int.Select(bits => (ReadingMarks)bits & ReadingMarks.All).Sample(marks =>
            ReadingMarkWords.TryParse(ReadingMarkWords.Join(marks), out var back, out var unknown) && back == marks && unknown is null);

    [Fact]
    public void Several_are_joined_by_plus_in_the_order_of_their_bits_and_none_is_empty()
    {
        Assert.Equal("open-circuit+stuck+step-taken", ReadingMarkWords.Join(ReadingMarks.StepTaken | ReadingMarks.Stuck | ReadingMarks.OpenCircuit));
        Assert.Equal("", ReadingMarkWords.Join(ReadingMarks.None));
        Assert.True(ReadingMarkWords.TryParse("stuck+open-circuit", out var marks, out _));
        Assert.Equal(ReadingMarks.Stuck | ReadingMarks.OpenCircuit, marks);
    }

    [Theory]
    [InlineData("broken", "broken")]
    [InlineData("stuck+Stale", "Stale")]
    [InlineData("stuck+", "")]
    [InlineData("+", "")]
    [InlineData("stuck, stale", "stuck, stale")]
    [InlineData(" stuck", " stuck")]
    [InlineData("8", "8")]
    public void A_word_that_is_not_known_is_named_and_nothing_is_read(string text, string word)
    {
        Assert.False(ReadingMarkWords.TryParse(text, out var marks, out var unknown));
        Assert.Equal((ReadingMarks.None, word), (marks, unknown));
    }

    [Theory]
    [InlineData(ReadingMarks.None)]
    [InlineData(ReadingMarks.Bad)]
    [InlineData((ReadingMarks)(1 << 10))]
    public void What_is_not_one_mark_has_no_word(ReadingMarks marks) =>
        Assert.Throws<ArgumentOutOfRangeException>(() => ReadingMarkWords.Of(marks));
}
