using Acquire.Core.Control;

namespace Acquire.Service.Configuration;

/// <summary>How one tester is driven.</summary>
/// <param name="Settings">Limits and what is known of its heater; checked.</param>
/// <param name="Topic">Topic its commands are published on; null where its source is a serial port: they go out by the same.</param>
public sealed record DriveConfig(DriveSettings Settings, string? Topic);
