namespace Acquire.Service.Archive.Influx.Sending;

/// <summary>What an answer, or its absence, means for what was sent.</summary>
internal enum WriteOutcome
{
    /// <summary>The server has it.</summary>
    Taken,

    /// <summary>The server, or the way to it, is in trouble: the same again later.</summary>
    Later,

    /// <summary>The server does not let us, or it is not the right one: a person has to help. The same again, at a slow pace.</summary>
    Refused,

    /// <summary>The request was too large.</summary>
    TooLarge,

    /// <summary>Something in the lines is wrong. The rest may or may not have been written.</summary>
    BadLines,
}

/// <summary>How one request ended.</summary>
/// <param name="Outcome">What it means.</param>
/// <param name="Status">HTTP status; 0 where there was no answer.</param>
/// <param name="Words">For a person: what happened, the server's own words, and what to do.</param>
/// <param name="ServerWords">The server's own words alone, bounded.</param>
/// <param name="RetryAfter">What the server asked to be waited; null where it asked nothing.</param>
internal sealed record WriteAnswer(WriteOutcome Outcome, int Status, string Words, string ServerWords = "", TimeSpan? RetryAfter = null);
