using Acquire.Service.Configuration;
using Acquire.Service.Lanes;
using Acquire.Service.Lanes.Driving;

namespace Acquire.Service.Sources;

/// <summary>What is read for one tester, or for one source that testers share.</summary>
/// <param name="Id">Its id.</param>
/// <param name="Source">Where it is read.</param>
/// <param name="Inbox">Where its rows go.</param>
/// <param name="Outlet">Where the commands for a driven tester come from; null where it is not driven.</param>
/// <param name="DriveTopic">MQTT topic of these commands; null where they go out by a port, and where there are none.</param>
/// <param name="Tap">Listens to its wire; null where nobody does.</param>
public sealed record Feed(string Id, SourceConfig Source, LaneInbox Inbox, DriveOutlet? Outlet = null, string? DriveTopic = null, WireTap? Tap = null);
