namespace Acquire.Service.Archive.Influx.Sending;

/// <summary>An answer as it came over the wire.</summary>
/// <param name="Status">HTTP status.</param>
/// <param name="Body">The beginning of its body.</param>
/// <param name="IsPage">Whether the body is a web page: then it was not the server that answered, whatever the status says.</param>
/// <param name="Location">Where it says to look instead; null where it does not.</param>
/// <param name="RetryAfter">What it asks to be waited; null where nothing.</param>
internal sealed record HeardAnswer(int Status, string Body, bool IsPage, string? Location, TimeSpan? RetryAfter);
