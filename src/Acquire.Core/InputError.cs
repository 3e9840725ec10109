namespace Acquire.Core;

/// <summary>A mistake in something that came from outside: a file, a payload, a key. A value, never an exception.</summary>
/// <param name="Path">Where: a key path such as `testers[2].channels[0].unit`, or a file with its line.</param>
/// <param name="Message">What was given and what is allowed.</param>
public sealed record InputError(string Path, string Message)
{
    /// <inheritdoc/>
    public override string ToString() => $"{Path}: {Message}";
}
