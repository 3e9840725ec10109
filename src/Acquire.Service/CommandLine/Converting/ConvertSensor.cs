using Acquire.Core;

namespace Acquire.Service.CommandLine.Converting;

/// <summary>A kind of sensor on the command line: which options go with it, and the conversion both ways.</summary>
internal abstract class ConvertSensor(string name)
{
    /// <summary>Its name as the person is told it.</summary>
    public string Name { get; } = name;

    /// <summary>Options of which exactly one holds its signal.</summary>
    public abstract IReadOnlyList<string> Signals { get; }

    /// <summary>Further options that it must have.</summary>
    public virtual IReadOnlyList<string> Needed => [];

    /// <summary>Further options that it may have.</summary>
    public virtual IReadOnlyList<string> Allowed => [];

    /// <summary>Temperature from a signal.</summary>
    /// <param name="option">Which of <see cref="Signals"/> it is.</param>
    /// <param name="given">All numbers given; those in <see cref="Needed"/> are among them.</param>
    /// <param name="errors">Told what cannot be converted.</param>
    /// <returns>Null where there is an error.</returns>
    public abstract ConvertReport? FromSignal(string option, IReadOnlyDictionary<string, double> given, List<InputError> errors);

    /// <summary>Signal for a temperature.</summary>
    /// <param name="celsius">Temperature, °C.</param>
    /// <param name="given">All numbers given; those in <see cref="Needed"/> are among them.</param>
    /// <param name="errors">Told what cannot be converted.</param>
    /// <returns>Null where there is an error.</returns>
    public abstract ConvertReport? ToSignal(double celsius, IReadOnlyDictionary<string, double> given, List<InputError> errors);
}
