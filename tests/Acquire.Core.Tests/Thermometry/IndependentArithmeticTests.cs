using System.Text.Json;
using Acquire.Core.Thermometry;
using CsCheck;
using MathNet.Numerics;
using MathNet.Numerics.RootFinding;
using Xunit;

namespace Acquire.Core.Tests.Thermometry;

/// <remarks>The same published coefficients, read again and put through another library's polynomials, exponential, derivative and root finder.</remarks>
public sealed class IndependentArithmeticTests
{
    private static readonly JsonElement Types = ReadTypes();

    [Fact]
    public void The_emf_is_that_of_another_polynomial_evaluator()
    {
        Letters.AnywhereInRange.Sample(it => Assert.Equal(Emf(it.Thermocouple.Type, it.Celsius), it.Thermocouple.EmfMillivolts(it.Celsius), tolerance: 1e-9), iter: 5000);
    }

    [Fact]
    public void The_temperature_is_that_of_another_root_finder()
    {
        Letters.AnywhereInRange.Sample(it =>
        {
            var (lowest, highest) = (it.Thermocouple.LowestEmfMillivolts, it.Thermocouple.HighestEmfMillivolts);
            // Evenly in emf rather than in temperature, and no emf that our own function has given.
            var emf = lowest + ((highest - lowest) * (it.Celsius - it.Thermocouple.LowestInvertibleCelsius) / (it.Thermocouple.HighestCelsius - it.Thermocouple.LowestInvertibleCelsius));
            var root = Brent.FindRoot(celsius => Emf(it.Thermocouple.Type, celsius) - emf, it.Thermocouple.LowestInvertibleCelsius - 0.1, it.Thermocouple.HighestCelsius + 0.1, accuracy: 1e-12);

            Assert.True(it.Thermocouple.TryCelsius(emf, out var celsius));
            // 1.2e-6 °C is by how much the pieces of type J miss each other at 760 °C; all other differences are below 1e-7.
            Assert.Equal(root, celsius, tolerance: 2e-6);
        }, iter: 3000);
    }

    [Fact]
    public void The_sensitivity_is_that_of_another_derivative()
    {
        Letters.AnywhereInRange.Sample(it =>
        {
            var slope = Differentiate.FirstDerivative(celsius => PieceEmf(Piece(it.Thermocouple.Type, it.Celsius), celsius), it.Celsius) * 1000;

            Assert.Equal(slope, it.Thermocouple.SensitivityMicrovoltsPerCelsius(it.Celsius), tolerance: 1e-4);
        }, iter: 3000);
    }

    private static double Emf(ThermocoupleType type, double celsius) => PieceEmf(Piece(type, celsius), celsius);

    private static JsonElement Piece(ThermocoupleType type, double celsius)
    {
        var pieces = Types.GetProperty(type.ToString()).GetProperty("forward").EnumerateArray().ToList();
        return pieces.Find(piece => celsius <= piece.GetProperty("highestCelsius").GetDouble()) is { ValueKind: JsonValueKind.Object } piece ? piece : pieces[^1];
    }

    private static double PieceEmf(JsonElement piece, double celsius)
    {
        var emf = MathNet.Numerics.Polynomial.Evaluate(celsius, [.. piece.GetProperty("c").EnumerateArray().Select(c => c.GetDouble())]);
        return piece.TryGetProperty("exponential", out var term)
            ? emf + (term.GetProperty("a0").GetDouble() * Math.Exp(term.GetProperty("a1").GetDouble() * Math.Pow(celsius - term.GetProperty("a2").GetDouble(), 2)))
            : emf;
    }

    private static JsonElement ReadTypes()
    {
        using var stream = typeof(Thermocouple).Assembly.GetManifestResourceStream("thermometry/its90.json")!;
        using var document = JsonDocument.Parse(stream);
        return document.RootElement.GetProperty("types").Clone();
    }
}
