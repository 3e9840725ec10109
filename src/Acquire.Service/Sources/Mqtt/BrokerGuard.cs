using System.Security.Cryptography;
using System.Text;
using Acquire.Service.Configuration;

namespace Acquire.Service.Sources.Mqtt;

/// <summary>Decides who may connect to the embedded broker, and who may publish and read what. No IO; thread-safe.</summary>
public sealed class BrokerGuard
{
    private readonly Dictionary<string, Account>? _accounts;

    /// <param name="accounts">Who may connect; null where nobody is asked.</param>
    public BrokerGuard(IReadOnlyList<BrokerAccount>? accounts) =>
        _accounts = accounts?.ToDictionary(account => account.User, account => new Account(Digest(account.Password), Tree(account.Publish), account.Subscribe), StringComparer.Ordinal);

    /// <summary>Whether anybody is asked who they are.</summary>
    public bool Asks => _accounts is not null;

    /// <summary>Whether somebody may connect.</summary>
    public bool Admits(string? user, string? password)
    {
        if (_accounts is null)
        {
            return true;
        }

        // The same work for a name that nobody has: how long the answer takes tells nothing.
        var given = Digest(password ?? "");
        var known = user is not null && _accounts.TryGetValue(user, out var account) ? account : null;
        return CryptographicOperations.FixedTimeEquals(given, known?.Password ?? given) && known is not null;
    }

    /// <summary>Whether somebody who was admitted may publish on a topic.</summary>
    public bool MayPublish(string? user, string topic)
    {
        if (_accounts is null)
        {
            return true;
        }

        var matches = new List<bool>();
        if (user is not null && _accounts.TryGetValue(user, out var account))
        {
            account.Publish.Match(topic, matches);
        }

        return matches.Count > 0;
    }

    /// <summary>Whether somebody who was admitted may subscribe to a filter: whether every topic that matches it matches one of theirs.</summary>
    public bool MaySubscribe(string? user, string filter) =>
        _accounts is null || (user is not null && _accounts.TryGetValue(user, out var account) && account.Subscribe.Any(allowed => TopicFilter.Covers(allowed, filter)));

    private static byte[] Digest(string password) => SHA256.HashData(Encoding.UTF8.GetBytes(password));

    private static TopicTree<bool> Tree(IReadOnlyList<string> filters)
    {
        var tree = new TopicTree<bool>();
        foreach (var filter in filters)
        {
            tree.Add(filter, true);
        }

        return tree;
    }

    private sealed record Account(byte[] Password, TopicTree<bool> Publish, IReadOnlyList<string> Subscribe);
}
