using Acquire.Service.Sources.Mqtt;
using CsCheck;
using Xunit;

namespace Acquire.Service.Tests.Sources.Mqtt;

public sealed class SeenKeysTests
{
    [Fact]
    public void Whatever_comes_and_goes_it_holds_what_a_queue_of_that_length_would()
    {
        const int Most = 200;
        Gen.Select(Gen.Int[0, 9], Gen.Int[0, 50], Gen.Int[0, 3]).Array[0, 600].Sample(steps =>
        {
            var (keys, queue) = (new SeenKeys(Most), new Queue<SeenKey>());
            return Array.TrueForAll(steps, step => Step(keys, queue, step, Most));
        });
    }

    private static bool Step(SeenKeys keys, Queue<SeenKey> queue, (int What, int Time, int Count) step, int most)
    {
        var key = new SeenKey(step.Count, step.Time / 10.0);
        if (keys.Contains(key) != queue.Contains(key))
        {
            return false;
        }

        switch (step.What)
        {
            case 0 when queue.Count > 0 && step.Time == 0:
                keys.Clear();
                queue.Clear();
                break;
            case 1 when queue.Count > 0:
                keys.DropOldest();
                queue.Dequeue();
                break;
            default:
                keys.Add(key);
                queue.Enqueue(key);
                if (queue.Count > most)
                {
                    queue.Dequeue();
                }

                break;
        }

        return keys.Count == queue.Count && (queue.Count == 0 || keys.Oldest == queue.Peek());
    }
}
