using Acquire.Service.Sources.Mqtt;

namespace Acquire.Service.Configuration.Parsing;

/// <summary>Reads who may connect to the embedded broker. Passwords are never repeated in a mistake.</summary>
internal static class AccountSection
{
    private const int MostAccounts = 1000;
    private const int MostFilters = 64;
    private const int ShortestPassword = 8;
    private const string AllowedPassword = "text of 8 to 200 characters";

    /// <summary>The accounts of a broker.</summary>
    public static IReadOnlyList<BrokerAccount> Read(ConfigObject broker)
    {
        var accounts = new List<BrokerAccount>();
        foreach (var section in broker.Sections("accounts", 1, MostAccounts))
        {
            var user = section.Text("user", null, 80) ?? "";
            if (user.Length > 0 && accounts.Exists(other => other.User == user))
            {
                section.Refuse("user", $"given \"{JsonText.Shown(user)}\"; another account has it. Allowed: a name of its own");
            }

            var password = section.Text("password", null, 200, AllowedPassword, secret: true) ?? "";
            if (password.Length is > 0 and < ShortestPassword)
            {
                section.Refuse("password", $"the value is not repeated here, it has {password.Length} characters; allowed: {AllowedPassword}");
            }

            var account = new BrokerAccount(user, password, ReadFilters(section, "publish"), ReadFilters(section, "subscribe"));
            if (account.Publish.Count + account.Subscribe.Count == 0)
            {
                section.Refuse("publish", "the account may neither publish nor subscribe; allowed: filters in \"publish\", in \"subscribe\", or in both");
            }

            accounts.Add(account);
            section.RefuseUnknownKeys();
        }

        return accounts;
    }

    private static IReadOnlyList<string> ReadFilters(ConfigObject section, string key)
    {
        var filters = section.Texts(key, MostFilters, TopicFilter.LongestCharacters, TopicFilter.Allowed);
        for (var index = 0; index < filters.Count; index++)
        {
            if (TopicFilter.Check(filters[index]) is { } mistake)
            {
                section.Refuse($"{key}[{index}]", $"given \"{JsonText.Shown(filters[index])}\": {mistake}; allowed: {TopicFilter.Allowed}");
            }
        }

        return filters;
    }
}
