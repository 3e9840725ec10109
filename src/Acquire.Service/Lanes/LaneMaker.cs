using Acquire.Core.Methods;
using Acquire.Service.Configuration;
using Acquire.Service.Lanes.Archiving;
using Acquire.Service.Live;
using Acquire.Service.Sources.Capture;
using Acquire.Service.Surroundings;

namespace Acquire.Service.Lanes;

/// <summary>Makes the lane of a tester, as the service starts and while it runs.</summary>
/// <param name="archive">Where everything goes before it is announced.</param>
/// <param name="timelines">Where runs become visible.</param>
/// <param name="time">Clock.</param>
/// <param name="softwareVersion">Version that is written into each run.</param>
/// <param name="methods">The methods that an automatic start may ask for.</param>
/// <param name="stations">The sources that testers share.</param>
/// <param name="captures">Where what the wire says is kept.</param>
/// <param name="logger">Log.</param>
public sealed class LaneMaker(ArchivePort archive, RunTimelines timelines, TimeProvider time, string softwareVersion, MethodSet methods, AmbientStations stations, CaptureFolder captures, ILogger<Lane> logger)
{
    /// <summary>The methods that an automatic start may ask for.</summary>
    public MethodSet Methods => methods;

    /// <summary>The lane of a tester.</summary>
    /// <exception cref="ArgumentException">The configured automatic start asks for something that no run may have.</exception>
    public Lane Make(TesterConfig tester)
    {
        ArgumentNullException.ThrowIfNull(tester);
        var capture = tester.Capture is { } wanted ? new WireCapture(wanted, captures, $"{tester.Id}, {tester.Source.Description}", time, logger) : null;
        return new(tester, archive, timelines, time, softwareVersion, methods, logger, stations, capture);
    }
}
