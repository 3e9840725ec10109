namespace Acquire.Service.Configuration;

/// <summary>How the values of channels are written on a wire.</summary>
public static class ReadingChannels
{
    /// <summary>Whether the channel says yes or no, in one of the words that <see cref="Sources.NumberText"/> knows.</summary>
    public static bool IsYesOrNo(this ReadingChannel channel) => channel is ReadingChannel.Flame or ReadingChannel.Stirring or ReadingChannel.Lit;
}
