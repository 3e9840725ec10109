using System.Numerics;
using System.Runtime.InteropServices;
using System.Text.Json.Serialization;

namespace Acquire.Core.Detection;

/// <summary>Learns the <see cref="NoiseSpectrum"/> of a detector from its quiet stretches, all through a run. Part of a run's snapshot.</summary>
/// <remarks>
/// From each stretch the structure function, half the mean square of the difference of readings a lag apart, is taken at fixed lags;
/// differences far beyond the usual are cut off, so that wild readings and a stir count little. Its mean over the
/// newest stretches is then explained by a sum of processes of positive variance.
/// </remarks>
public sealed class SpectrumLearner
{
    // Stretches that the mean reaches back over.
    private const double Remembered = 12;

    private const int Lags = 9;
    private const int Parts = 5;

    // So many rounds settle the amounts to far below what the readings tell.
    private const int Rounds = 300;

    // Differences beyond this many of their own deviations are cut off there; the normal distribution then loses 1 % of its variance.
    private const double Cut = 3;
    private const double CutLoss = 0.9866;

    // So much may any lag's share change before the mixture is fitted anew.
    private const double Change = 0.15;

    private static readonly double[] LagSeconds = [0, 0.02, 0.04, 0.07, 0.12, 0.2, 0.35, 0.6, 1.2];

    [JsonInclude]
    private double[] _sums = new double[Lags];

    [JsonInclude]
    private double[] _shares = new double[Lags];

    // What the mixture was fitted to.
    [JsonInclude]
    private double[] _fitted = new double[Lags];

    [JsonInclude]
    private double[] _lags = new double[Lags];

    [JsonInclude]
    private MainsHum _hum = new();

    // Memory for learning only: what it holds between two times says nothing about the run.
    [JsonIgnore]
    private readonly QuietReadings _quiet = new();

    /// <summary>The noise as learnt so far; null before the first stretch.</summary>
    [JsonInclude]
    public NoiseSpectrum? Spectrum { get; private set; }

    /// <summary>The hum in the newest stretch, where it can be carried on by the times of the readings; null elsewhere.</summary>
    internal HumWave? Hum => _hum.Wave;

    /// <summary>Takes in the quiet readings between two times.</summary>
    /// <param name="history">The readings.</param>
    /// <param name="from">First time, s.</param>
    /// <param name="to">Last time, s.</param>
    internal void Learn(DetectorHistory history, double from, double to) => Learn(_quiet, _quiet.Take(history, from, to, 0, out _));

    /// <summary>Takes in quiet readings.</summary>
    /// <param name="quiet">The readings; the hum of the mains is taken off them.</param>
    /// <param name="n">How many.</param>
    internal void Learn(QuietReadings quiet, int n)
    {
        if (n < IdleNoise.FewestReadings)
        {
            return;
        }

        _hum.TakeOff(quiet.Times.AsSpan(0, n), quiet.Values.AsSpan(0, n), quiet.Work.AsSpan(0, 2 * n));
        var spacing = (quiet.Times[n - 1] - quiet.Times[0]) / (n - 1);
        var before = 0;
        for (var k = 0; k < Lags; k++)
        {
            var apart = Math.Max(1, (int)Math.Round(LagSeconds[k] / spacing));
            if (apart <= before || apart > n / 3)
            {
                continue;
            }

            before = apart;
            Take(quiet, k, apart, n);
        }

        Settle();
    }

    // The mixture is fitted anew only where what was seen has changed its shape since; else the size alone is followed.
    // What hangs on the mixture is then the same from pass to pass and need not be made anew.
    private void Settle()
    {
        var (ratios, seen) = (0.0, 0);
        for (var k = 0; k < Lags; k++)
        {
            if (_shares[k] > 0 && _fitted[k] > 0)
            {
                ratios += _sums[k] / _fitted[k];
                seen++;
            }
        }

        var scale = ratios / seen;
        var alike = Spectrum is not null && double.IsFinite(scale) && scale > 0;
        for (var k = 0; k < Lags && alike; k++)
        {
            alike = _shares[k] > 0 == _fitted[k] > 0 && (_shares[k] == 0 || Math.Abs((_sums[k] / _fitted[k] / scale) - 1) < Change);
        }

        if (alike)
        {
            Spectrum = Spectrum!.Times(scale, _hum);
            for (var k = 0; k < Lags; k++)
            {
                _fitted[k] *= scale;
            }

            return;
        }

        _sums.CopyTo(_fitted, 0);
        Spectrum = Fit() with { Hum = _hum.Variance, HumHertz = _hum.Hertz, HumByTimes = _hum.ByTimes };
    }

    private void Take(QuietReadings quiet, int k, int apart, int n)
    {
        var count = n - apart;
        var values = quiet.Values.AsSpan(0, n);
        var later = values[apart..];
        var earlier = values[..count];
        var scale = Robust.Scale(new StepRow(later, earlier), Math.Sqrt(2 * _sums[k]), quiet.Work);
        var sum = CutSquares(later, earlier, Cut * scale);
        double times = 0;
        for (var i = 0; i < apart; i++)
        {
            // What lies between cancels.
            times += quiet.Times[count + i] - quiet.Times[i];
        }

        var half = sum / count / 2 / CutLoss;
        _shares[k] = Math.Min(_shares[k] + 1, Remembered);
        _sums[k] += (half - _sums[k]) / _shares[k];
        _lags[k] += ((times / count) - _lags[k]) / _shares[k];
    }

    // Sum of the squares of differences, those of larger ones cut off.
    private static double CutSquares(ReadOnlySpan<double> later, ReadOnlySpan<double> earlier, double most)
    {
        var (sums, limit) = (Vector<double>.Zero, new Vector<double>(most));
        var wideLater = MemoryMarshal.Cast<double, Vector<double>>(later);
        var wideEarlier = MemoryMarshal.Cast<double, Vector<double>>(earlier);
        for (var i = 0; i < wideLater.Length; i++)
        {
            var kept = Vector.MinNative(Vector.Abs(wideLater[i] - wideEarlier[i]), limit);
            sums += kept * kept;
        }

        var sum = Vector.Sum(sums);
        for (var i = wideLater.Length * Vector<double>.Count; i < later.Length; i++)
        {
            var kept = Math.Min(Math.Abs(later[i] - earlier[i]), most);
            sum += kept * kept;
        }

        return sum;
    }

    // Least squares with variances not below 0, relative to what was seen, by descent from coordinate to coordinate.
    private NoiseSpectrum Fit()
    {
        Span<double> design = stackalloc double[Lags * Parts];
        Span<double> squares = stackalloc double[Parts];
        Span<double> amount = stackalloc double[Parts];
        Span<double> residual = stackalloc double[Lags];
        for (var k = 0; k < Lags; k++)
        {
            var seen = _shares[k] > 0 && _sums[k] > 0;
            var weight = seen ? 1 / _sums[k] : 0;
            residual[k] = seen ? 1 : 0;
            var lag = _lags[k];
            design[k] = weight;
            for (var i = 0; i < NoiseSpectrum.TimesSeconds.Count; i++)
            {
                design[((1 + i) * Lags) + k] = weight * (1 - Math.Exp(-lag / NoiseSpectrum.TimesSeconds[i]));
            }

            design[((Parts - 1) * Lags) + k] = weight * lag / 2;
        }

        for (var i = 0; i < Parts; i++)
        {
            var part = design.Slice(i * Lags, Lags);
            squares[i] = Along(part, part);
        }

        // A round that moves nothing is the last one.
        var moves = true;
        for (var round = 0; round < Rounds && moves; round++)
        {
            moves = false;
            for (var i = 0; i < Parts; i++)
            {
                moves |= Descend(design.Slice(i * Lags, Lags), squares[i], residual, ref amount[i]);
            }
        }

        return new(amount[0], [amount[1], amount[2], amount[3]], amount[4]);
    }

    // The best amount of one part, the others as they are; whether it is another.
    private static bool Descend(ReadOnlySpan<double> part, double square, Span<double> residual, ref double amount)
    {
        var along = Along(part, residual);
        if (amount == 0 && along <= 0)
        {
            // It would fall below 0: it stays there, as most parts do most of the time.
            return false;
        }

        var next = square > 0 ? Math.Max(0, amount + (along / square)) : amount;
        var step = next - amount;
        amount = next;
        if (step == 0)
        {
            return false;
        }

        var wide = MemoryMarshal.Cast<double, Vector<double>>(residual);
        var of = MemoryMarshal.Cast<double, Vector<double>>(part);
        for (var k = 0; k < wide.Length; k++)
        {
            wide[k] -= new Vector<double>(step) * of[k];
        }

        for (var k = wide.Length * Vector<double>.Count; k < residual.Length; k++)
        {
            residual[k] -= step * part[k];
        }

        return true;
    }

    private static double Along(ReadOnlySpan<double> part, ReadOnlySpan<double> other)
    {
        double sum = 0;
        for (var k = 0; k < part.Length; k++)
        {
            sum += part[k] * other[k];
        }

        return sum;
    }
}
