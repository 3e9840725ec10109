namespace Acquire.Core.Detection;

/// <summary>The mean course of the passes before, laid over a pass; to be asked before another pass is remembered.</summary>
/// <param name="course">Its heights at <see cref="GridPoints"/> times, <see cref="GridSeconds"/> apart from <see cref="GridFrom"/> on; detector's unit.</param>
/// <param name="start">When the flame came over the cup in this pass, s.</param>
internal readonly struct PassCourse(double[] course, double start)
{
    /// <summary>Time between two points, s.</summary>
    public const double GridSeconds = 0.02;

    /// <summary>First point, s after the flame came.</summary>
    public const double GridFrom = -0.6;

    /// <summary>Last point, s after the flame came.</summary>
    public const double GridTo = GridFrom + ((GridPoints - 1) * GridSeconds);

    /// <summary>Points.</summary>
    public const int GridPoints = 160;

    /// <summary>Its height at a time, detector's unit; 0 outside the grid.</summary>
    /// <param name="seconds">Time, s.</param>
    public double At(double seconds)
    {
        var place = (seconds - start - GridFrom) / GridSeconds;
        if (!(place >= 0 && place < GridPoints - 1))
        {
            return 0;
        }

        // Within the grid by now, so no check again.
        var k = unchecked((int)place);
        var part = place - k;
        return ((1 - part) * course[k]) + (part * course[k + 1]);
    }
}
