namespace Acquire.Core.Control;

/// <summary>What one second of heating showed.</summary>
/// <param name="RatePerSecond">Filtered rate of the thermometer, °C/s.</param>
/// <param name="TargetPerSecond">The rate that was aimed at, °C/s.</param>
/// <param name="LossShape">Filtered loss shape, °C.</param>
/// <param name="LossGrowth">Growth of the loss shape per °C.</param>
internal readonly record struct SeenHeating(double RatePerSecond, double TargetPerSecond, double LossShape, double LossGrowth);

/// <summary>What is wanted a little later.</summary>
/// <param name="RatePerSecond">The rate, °C/s.</param>
/// <param name="HorizonSeconds">When, counted from the end of the dead time, s.</param>
/// <param name="LossShape">Loss shape there, °C.</param>
/// <param name="LossGrowth">Growth of the loss shape per °C there.</param>
/// <param name="RiseCelsius">How much warmer it is there than where the filtered rate belongs, °C.</param>
/// <param name="MeanRatePerSecond">Mean rate on the way there, °C/s.</param>
internal readonly record struct WantedHeating(double RatePerSecond, double HorizonSeconds, double LossShape, double LossGrowth, double RiseCelsius, double MeanRatePerSecond);
