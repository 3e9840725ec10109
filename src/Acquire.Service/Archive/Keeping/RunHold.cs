namespace Acquire.Service.Archive.Keeping;

/// <summary>That a run is to be kept whatever its age, or need not be any longer. The newest of a run holds.</summary>
/// <param name="Number">Which of the run's holds, from 1.</param>
/// <param name="At">When, UTC.</param>
/// <param name="Person">Who answers for it.</param>
/// <param name="Held">True: it is to be kept. False: it is released.</param>
/// <param name="Reason">Why.</param>
public sealed record RunHold(int Number, DateTimeOffset At, string Person, bool Held, string Reason);
