using System.Globalization;
using Acquire.Core;
using Acquire.Service.Archive.Corrections;

namespace Acquire.Service.Archive.Keeping;

/// <summary>Who may prune what.</summary>
public static class PruneRules
{
    private const int MostDays = 36_500;

    /// <summary>Why nothing is pruned by an order; null where it stands.</summary>
    /// <param name="order">The order.</param>
    /// <param name="roles">Who may.</param>
    /// <param name="keepDays">How long the laboratory keeps runs at least, days; null: for ever.</param>
    public static InputError? WhyNot(PruneOrder order, RunRoles roles, int? keepDays)
    {
        ArgumentNullException.ThrowIfNull(order);
        ArgumentNullException.ThrowIfNull(roles);
        return AuditGate.WhyNot(order.Person, new("prune", "mayPrune", roles.MayPrune)) is { } refused ? refused.Errors[0] with { Path = "--person" }
            : keepDays is not { } least ? new("--config", "says nothing of retention.keepDays: runs are kept for ever")
            : order.OlderThanDays is { } days && (days < least || days > MostDays) ? new("--older-than-days", string.Create(CultureInfo.InvariantCulture, $"is {days}; allowed: {least} (retention.keepDays) to {MostDays}"))
            : (order.Copy is null) != order.ForGood ? new("--copy", "either a copy that holds what is taken away, or --for-good, and not both")
            : null;
    }
}
