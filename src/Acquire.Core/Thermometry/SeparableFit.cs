using Acquire.Core.Detection;

namespace Acquire.Core.Thermometry;

/// <summary>Least squares for a <see cref="SeparableModel"/>: the linear parameters are solved for at every step and only the others are searched.</summary>
/// <remarks>Variable projection (Golub and Pereyra, SIAM Journal on Numerical Analysis 10, 1973) with Kaufman's simplified derivative, damped as by Marquardt.</remarks>
internal sealed class SeparableFit
{
    private const int MostSteps = 80;
    private const double MostDamping = 1e8;

    // What rounding leaves of a perfect record, a nanokelvin squared.
    private const double RoundingSquares = 1e-18;

    // Readings further than this from a first fit are wild; of normal noise, one in 5e8 is. No thermometer here is
    // quieter than a millikelvin; records that are digitised in step with a ramp only look so.
    private const double WildScales = 6;
    private const double LeastScale = 1e-3;
    private const double MostWildShare = 0.2;

    private readonly SeparableModel _model;
    private readonly bool[] _wild;
    private readonly double[][] _columns;
    private readonly double[][] _slopes;
    private readonly double[] _residuals;
    private readonly double[] _upper;
    private double[] _inverse = [];
    private double _squares;

    private SeparableFit(SeparableModel model, ReadOnlySpan<double> start, ReadOnlySpan<bool> wild)
    {
        _model = model;
        _wild = wild.ToArray();
        LeftOut = wild.Count(true);
        _columns = Rows(model.Linear, model.Readings);
        _slopes = Rows(model.Curved, model.Readings);
        _residuals = new double[model.Readings];
        _upper = new double[model.Linear * model.Linear];
        Linear = new double[model.Linear];
        Parameters = start.ToArray();
    }

    /// <summary>The curved parameters.</summary>
    public double[] Parameters { get; }

    /// <summary>The linear parameters.</summary>
    public double[] Linear { get; }

    /// <summary>Readings used.</summary>
    public int Used => _model.Readings - LeftOut;

    /// <summary>Wild readings.</summary>
    public int LeftOut { get; private set; }

    /// <summary>Standard deviation of the residuals.</summary>
    public double Scatter => Math.Sqrt(_squares / Math.Max(1, Used - _model.Linear - _model.Curved));

    /// <summary>A fit from a start; null where it does not converge.</summary>
    /// <param name="model">The model.</param>
    /// <param name="start">Where the search starts.</param>
    /// <param name="wild">Readings that are known not to count. Those that turn out wild are added.</param>
    public static SeparableFit? From(SeparableModel model, ReadOnlySpan<double> start, ReadOnlySpan<bool> wild)
    {
        var fit = new SeparableFit(model, start, wild);
        var found = fit.Search();
        for (var round = 0; found && round < 3 && fit.MarkWild(); round++)
        {
            found = fit.Search();
        }

        return found && fit.LeftOut <= MostWildShare * model.Readings ? fit : null;
    }

    /// <summary>The best of several starts; null where the linear parameters cannot be told apart at any of them.</summary>
    public static double[]? Best(SeparableModel model, IReadOnlyList<double[]> starts, ReadOnlySpan<bool> wild)
    {
        var fit = new SeparableFit(model, starts[0], wild);
        double[]? best = null;
        var least = double.PositiveInfinity;
        foreach (var start in starts)
        {
            start.CopyTo(fit.Parameters, 0);
            var squares = fit.Solve() ?? double.PositiveInfinity;
            (best, least) = squares < least ? (start, squares) : (best, least);
        }

        return best;
    }

    /// <summary>Standard uncertainty of a curved parameter.</summary>
    /// <remarks>
    /// Residuals that go together (quantisation, a response of another shape) carry less information than their number: the
    /// variance is multiplied by (1 + r)/(1 − r), r being the correlation of neighbours, as for a mean of such readings.
    /// </remarks>
    public double StandardUncertainty(int parameter)
    {
        var correlation = Math.Clamp(NeighbourCorrelation(), 0, 0.99);
        return Scatter * Math.Sqrt(_inverse[(parameter * _model.Curved) + parameter] * (1 + correlation) / (1 - correlation));
    }

    /// <summary>By how much a curved parameter answers to each reading, in first order.</summary>
    public double[] Pull(int parameter)
    {
        var pull = new double[_model.Readings];
        for (var k = 0; k < _model.Curved; k++)
        {
            for (var i = 0; i < pull.Length; i++)
            {
                pull[i] += _inverse[(parameter * _model.Curved) + k] * _slopes[k][i];
            }
        }

        return pull;
    }

    private static double[][] Rows(int count, int length)
    {
        var rows = new double[count][];
        for (var i = 0; i < count; i++)
        {
            rows[i] = new double[length];
        }

        return rows;
    }

    private double NeighbourCorrelation()
    {
        double product = 0;
        for (var i = 1; i < _residuals.Length; i++)
        {
            product += _residuals[i] * _residuals[i - 1];
        }

        return _squares > 0 ? product / _squares : 0;
    }

    private bool Search()
    {
        if (Solve() is not { } squares)
        {
            return false;
        }

        var damping = 1e-3;
        for (var step = 0; step < MostSteps; step++)
        {
            if (!TryCurvature(damping, out var move, out var gain))
            {
                return false;
            }

            // A move that would change the sum of squares by less than a hundred-millionth of one reading's share is none.
            // Where not even the smallest moves help, this is the bottom too, unless the slope says otherwise.
            if (gain <= (1e-8 * squares / Used) + RoundingSquares || (damping > MostDamping && gain <= 1e-4 * squares))
            {
                return true;
            }

            var now = TryMove(move, squares);
            damping = now < squares ? Math.Max(damping / 10, 1e-12) : damping * 10;
            squares = now;
        }

        return false;
    }

    // The sum of squares after a move; where that is no less, the move is taken back.
    private double TryMove(double[] move, double squares)
    {
        var before = Parameters.AsSpan().ToArray();
        for (var k = 0; k < move.Length; k++)
        {
            Parameters[k] += k == 0 ? Math.Clamp(move[k], -1, 1) : move[k];
        }

        if (Solve() is { } now && now < squares)
        {
            return now;
        }

        before.CopyTo(Parameters, 0);
        _ = Solve();
        return squares;
    }

    // Columns become orthonormal (Gram and Schmidt, modified), the linear parameters and residuals follow.
    private double? Solve()
    {
        _model.Columns(Parameters, _residuals, _columns);
        Blank(_residuals);
        var n = _model.Linear;
        Span<double> share = stackalloc double[n];
        for (var j = 0; j < n; j++)
        {
            Blank(_columns[j]);
            var whole = Math.Sqrt(SymmetricInverse.Dot(_columns[j], _columns[j]));
            for (var i = 0; i < j; i++)
            {
                _upper[(i * n) + j] = TakeOut(_columns[i], _columns[j]);
            }

            var rest = Math.Sqrt(SymmetricInverse.Dot(_columns[j], _columns[j]));
            if (!(rest > 1e-9 * whole))
            {
                return null;
            }

            _upper[(j * n) + j] = rest;
            Scale(_columns[j], 1 / rest);
            share[j] = TakeOut(_columns[j], _residuals);
        }

        for (var i = n - 1; i >= 0; i--)
        {
            for (var j = i + 1; j < n; j++)
            {
                share[i] -= _upper[(i * n) + j] * Linear[j];
            }

            Linear[i] = share[i] / _upper[(i * n) + i];
        }

        return _squares = SymmetricInverse.Dot(_residuals, _residuals);
    }

    // The move that a parabola through here asks for, and by how much the sum of squares would fall.
    private bool TryCurvature(double damping, out double[] move, out double gain)
    {
        FreeSlopes();
        var n = _model.Curved;
        move = new double[n];
        gain = 0;
        var damped = new double[n * n];
        _inverse = new double[n * n];
        for (var i = 0; i < n; i++)
        {
            for (var j = 0; j < n; j++)
            {
                _inverse[(i * n) + j] = SymmetricInverse.Dot(_slopes[i], _slopes[j]);
                damped[(i * n) + j] = _inverse[(i * n) + j] * (i == j ? 1 + damping : 1);
            }
        }

        if (SymmetricInverse.TryInvert(damped, n) is null || SymmetricInverse.TryInvert(_inverse, n) is null)
        {
            return false;
        }

        for (var i = 0; i < n; i++)
        {
            for (var j = 0; j < n; j++)
            {
                move[i] += damped[(i * n) + j] * SymmetricInverse.Dot(_slopes[j], _residuals);
            }

            gain += move[i] * SymmetricInverse.Dot(_slopes[i], _residuals);
        }

        return double.IsFinite(gain);
    }

    // The derivatives by the curved parameters, with all that the linear ones can follow taken out.
    private void FreeSlopes()
    {
        _model.Slopes(Parameters, Linear, _slopes);
        foreach (var slope in _slopes)
        {
            Blank(slope);
            foreach (var column in _columns)
            {
                _ = TakeOut(column, slope);
            }
        }
    }

    private bool MarkWild()
    {
        var limit = WildScales * Math.Max(LeastScale, TrimmedScale.Of(_residuals));
        var before = LeftOut;
        for (var i = 0; i < _residuals.Length; i++)
        {
            LeftOut += !_wild[i] && Math.Abs(_residuals[i]) > limit ? 1 : 0;
            _wild[i] |= Math.Abs(_residuals[i]) > limit;
        }

        return LeftOut > before;
    }

    private void Blank(double[] column)
    {
        for (var i = 0; LeftOut > 0 && i < column.Length; i++)
        {
            column[i] = _wild[i] ? 0 : column[i];
        }
    }

    private static double TakeOut(double[] unit, double[] from)
    {
        var share = SymmetricInverse.Dot(unit, from);
        for (var i = 0; i < from.Length; i++)
        {
            from[i] -= share * unit[i];
        }

        return share;
    }

    private static void Scale(double[] column, double by)
    {
        for (var i = 0; i < column.Length; i++)
        {
            column[i] *= by;
        }
    }
}
