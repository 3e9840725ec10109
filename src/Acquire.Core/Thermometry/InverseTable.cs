using System.Runtime.CompilerServices;
using System.Runtime.Intrinsics;

namespace Acquire.Core.Thermometry;

/// <summary>The inverse of a reference function, prepared: equal steps of emf, in each a polynomial that has the inverse's value, slope and curvature at both ends.</summary>
/// <remarks>
/// Why not a published inverse polynomial and a correcting step: evaluating the function with its derivatives, for type K with an exponential, takes two to five
/// times as long as the published polynomial, and this takes less than it. Each polynomial is checked against Newton's rule while the table is made; a step stays
/// empty where it is off by more than <see cref="WorstCelsius"/> (at the cold ends), where two pieces of the function meet, and at the high end, where a rounding
/// error must not leave the range. The caller goes back to Newton's rule there: 1 to 3 of 100 steps.
/// </remarks>
internal sealed class InverseTable
{
    /// <summary>Largest error of a polynomial that is kept, at the places where it is checked, °C.</summary>
    public const double WorstCelsius = 1e-8;

    /// <summary>Steps over the whole range: 24 KiB of coefficients a type.</summary>
    private const int Steps = 512;

    private readonly double _lowestMillivolts;
    private readonly double _stepsPerMillivolt;
    private readonly Quintic[] _quintics = new Quintic[Steps + 1];

    /// <summary>Prepares the inverse from the emf of a lowest temperature, °C, to the high end of the function.</summary>
    public InverseTable(ReferenceFunction function, double lowestCelsius)
    {
        var highest = function.Pieces[^1].HighestMillivolts;
        _lowestMillivolts = function.At(lowestCelsius).Emf(lowestCelsius);
        _stepsPerMillivolt = Steps / (highest - _lowestMillivolts);
        var width = 1 / _stepsPerMillivolt;
        Array.Fill(_quintics, Quintic.None);
        var from = Point(function, _lowestMillivolts, lowestCelsius, lowestCelsius);
        for (var i = 0; i < Steps - 1; i++)
        {
            var emf = _lowestMillivolts + (i * width);
            var to = Point(function, emf + width, lowestCelsius, from.Celsius + (from.Slope * width));
            var quintic = Quintic.Through(from, to, width);
            if (!function.Pieces.Any(piece => piece.HighestMillivolts >= emf && piece.HighestMillivolts <= emf + width) && IsRight(function, lowestCelsius, quintic, emf, width))
            {
                _quintics[i] = quintic;
            }

            from = to;
        }
    }

    /// <summary>Share of the steps that are not empty.</summary>
    public double Filled => _quintics.Count(quintic => quintic.IsSome) / (double)Steps;

    /// <summary>Temperature, °C, of an emf, mV, within the range; not a number where the step is empty.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public double Celsius(double emfMillivolts)
    {
        var place = (emfMillivolts - _lowestMillivolts) * _stepsPerMillivolt;
        var step = double.ConvertToIntegerNative<int>(place);
        return _quintics[step].At(place - step);
    }

    /// <summary>Temperatures, °C, of four emfs, mV, within the range; not a number where a step is empty.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public Vector256<double> Celsius(Vector256<double> emfsMillivolts)
    {
        var places = (emfsMillivolts - Vector256.Create(_lowestMillivolts)) * Vector256.Create(_stepsPerMillivolt);
        var steps = Vector256.Floor(places);
        ref readonly var quintic = ref QuinticAt(steps, 0);

        // Consecutive readings of a specimen nearly always lie in one step.
        return Vector256.EqualsAll(steps, Vector256.Create(steps.ToScalar()))
            ? quintic.At(places - steps)
            : Quintic.At(in quintic, in QuinticAt(steps, 1), in QuinticAt(steps, 2), in QuinticAt(steps, 3), places - steps);
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private ref readonly Quintic QuinticAt(Vector256<double> steps, int lane) => ref _quintics[double.ConvertToIntegerNative<int>(steps.GetElement(lane))];

    private static InversePoint Point(ReferenceFunction function, double emfMillivolts, double lowestCelsius, double startCelsius)
    {
        var celsius = function.Invert(emfMillivolts, lowestCelsius, startCelsius);
        function.At(celsius).Expand(celsius, out _, out var slope, out var halfCurvature);
        return new(celsius, 1 / slope, -2 * halfCurvature / (slope * slope * slope));
    }

    // The error of the polynomial is largest in the middle and has no zero but the ends.
    private static bool IsRight(ReferenceFunction function, double lowestCelsius, Quintic quintic, double fromMillivolts, double widthMillivolts)
    {
        foreach (var u in (ReadOnlySpan<double>)[0.25, 0.5, 0.75])
        {
            var celsius = quintic.At(u);
            if (!(Math.Abs(celsius - function.Invert(fromMillivolts + (u * widthMillivolts), lowestCelsius, celsius)) <= WorstCelsius))
            {
                return false;
            }
        }

        return true;
    }
}
