using System.Buffers;

namespace Acquire.Core.Detection;

/// <summary>Keeps the models used last, for all testers: from pass to pass the same few are asked for, and each costs some hundred times its use.</summary>
/// <remarks>A model follows from its key alone, so no result depends on what is kept. Safe for many threads.</remarks>
internal static class NuisanceModels
{
    private const int StepTenthMilliseconds = (int)(FlashGrid.StepSeconds * 1e4);

    // Numbers kept, 8 bytes each: 32 MB. A run asks for 40 to 270 models (24 runs; half of them up to 86), which hold two million numbers at most.
    private const int MostNumbers = 4_000_000;

    private static readonly Lock Gate = new();
    private static readonly LinkedList<(Key Key, FlashModel? Model)> Newest = new();
    private static readonly Dictionary<Key, LinkedListNode<(Key Key, FlashModel? Model)>> ByKey = [];
    private static int _numbers;

    private readonly record struct Key(NuisanceCourse Course, int Points, int SpacingTenthMilliseconds, int FromSteps, int ToSteps);

    /// <summary>The model for evenly spaced points; null where numbers cannot carry it.</summary>
    /// <param name="course">The nuisance.</param>
    /// <param name="points">How many points.</param>
    /// <param name="spacingSeconds">Time between them, s; rounded to 0.1 ms.</param>
    /// <param name="fromSeconds">Earliest onset after the first point, s; rounded down to 0.1 s.</param>
    /// <param name="toSeconds">Latest, s; rounded up to 0.1 s.</param>
    public static FlashModel? For(NuisanceCourse course, int points, double spacingSeconds, double fromSeconds, double toSeconds)
    {
        var key = new Key(course, points, (int)Math.Round(spacingSeconds * 1e4), 10 * (int)Math.Floor(fromSeconds * 10 + 1e-6), 10 * (int)Math.Ceiling(toSeconds * 10 - 1e-6));
        lock (Gate)
        {
            if (ByKey.TryGetValue(key, out var node))
            {
                Newest.Remove(node);
                Newest.AddFirst(node);
                return node.Value.Model;
            }
        }

        var made = Make(key);
        Keep(key, made);
        return made;
    }

    private static void Keep(Key key, FlashModel? made)
    {
        lock (Gate)
        {
            // Another thread may have made the same meanwhile.
            if (!ByKey.TryAdd(key, new((key, made))))
            {
                return;
            }

            Newest.AddFirst(ByKey[key]);
            _numbers += SizeOf(made);
            while (_numbers > MostNumbers)
            {
                var (oldest, model) = Newest.Last!.Value;
                Newest.RemoveLast();
                ByKey.Remove(oldest);
                _numbers -= SizeOf(model);
            }
        }
    }

    // What is no model takes room too.
    private static int SizeOf(FlashModel? model) => model?.Size ?? 100;

    private static FlashModel? Make(Key key)
    {
        if (key.SpacingTenthMilliseconds % StepTenthMilliseconds == 0 && MakeEven(key) is { } even)
        {
            return even;
        }

        Span<double> times = stackalloc double[key.Points];
        var spacing = key.SpacingTenthMilliseconds * 1e-4;
        for (var i = 0; i < times.Length; i++)
        {
            times[i] = i * spacing;
        }

        var grid = new FlashGrid(times, spacing, key.FromSteps * FlashGrid.StepSeconds, key.ToSteps * FlashGrid.StepSeconds);
        return NuisanceModel.Of(key.Course, times, even: true, grid);
    }

    private static EvenModel? MakeEven(Key key)
    {
        var room = key.Points * key.Points;
        var work = ArrayPool<double>.Shared.Rent(room);
        var model = EvenModel.Of(key.Course, key.Points, key.SpacingTenthMilliseconds / StepTenthMilliseconds, key.FromSteps, key.ToSteps, work.AsSpan(0, room));
        ArrayPool<double>.Shared.Return(work);
        return model;
    }
}
