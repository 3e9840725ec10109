namespace Acquire.Core.Runs;

/// <summary>Puts what happened to the record itself into it, and keeps from being concluded what nobody saw.</summary>
internal static class ResumeSupervision
{
    public static void Take(in Bench bench, RecordFact fact)
    {
        var s = bench.State;
        if (fact is AxisBegun)
        {
            bench.Outputs.Add(fact);
            return;
        }

        bench.Outputs.Add(fact with { AtSeconds = s.AtSeconds, ReadingSeconds = s.Guide.ReadingSeconds });

        // While the service was away no key could be pressed: nobody knows whether the specimen went out. The alarm stands until somebody says so.
        if (s.Guide.BurningSince is not null)
        {
            (s.Guide.BurnJudged, s.Guide.BurnUnseen) = (true, true);
        }
    }
}
