namespace Acquire.Service.Configuration;

/// <summary>Who may connect to the embedded broker, and what for. Its text never holds the password.</summary>
/// <param name="User">User name, 1 to 80 characters.</param>
/// <param name="Password">8 to 200 characters.</param>
/// <param name="Publish">Filters of the topics on which it may publish.</param>
/// <param name="Subscribe">Filters of the topics that it may read.</param>
public sealed record BrokerAccount(string User, string Password, IReadOnlyList<string> Publish, IReadOnlyList<string> Subscribe)
{
    /// <inheritdoc/>
    public override string ToString() => $"account {User}";
}
