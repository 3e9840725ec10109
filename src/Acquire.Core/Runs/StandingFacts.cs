namespace Acquire.Core.Runs;

/// <summary>What of a run's facts still stands. The record keeps all of them, those that were taken back included.</summary>
public static class StandingFacts
{
    /// <summary>
    /// The facts without each observation that was taken back, and without what followed it up to its withdrawal; what the readings
    /// between the two say by themselves is stated anew behind the withdrawal. Alarms are kept: they did sound, and each ends by a fact of its own;
    /// so is what happened to the record itself.
    /// </summary>
    /// <param name="facts">The facts of one run from the first on, in order.</param>
    public static IReadOnlyList<RunOutput> Of(IEnumerable<RunOutput> facts)
    {
        ArgumentNullException.ThrowIfNull(facts);
        var standing = new List<RunOutput>();
        foreach (var fact in facts)
        {
            if (fact is not ObservationWithdrawn)
            {
                standing.Add(fact);
            }
            else if (standing.FindLastIndex(before => before is ObservationMade) is >= 0 and var made)
            {
                var alarms = standing.FindAll(made, before => before is AlarmRaised or AlarmCleared or RecordFact);
                standing.RemoveRange(made, standing.Count - made);
                standing.AddRange(alarms);
            }
        }

        return standing;
    }

    private static List<RunOutput> FindAll(this List<RunOutput> facts, int from, Predicate<RunOutput> match) => facts.GetRange(from, facts.Count - from).FindAll(match);
}
