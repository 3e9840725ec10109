using System.Threading.Channels;
using Acquire.Core.Methods;
using Acquire.Core.Readings;
using Acquire.Core.Runs;
using Acquire.Service.Archive;
using Acquire.Service.Configuration;
using Acquire.Service.Lanes.Archiving;
using Acquire.Service.Lanes.Starting;
using Acquire.Service.Lanes.Watching;
using Acquire.Service.Live;
using Acquire.Service.Sources;
using Acquire.Service.Sources.Capture;
using Acquire.Service.Surroundings;

namespace Acquire.Service.Lanes;

/// <summary>Everything that belongs to one tester at run time. One loop (<see cref="RunAsync"/>) owns all of it; rows, commands and ticks enter there and nowhere else.</summary>
public sealed partial class Lane
{
    private const int MostCommandsWaiting = 16;
    private static readonly TimeSpan LongestCommand = TimeSpan.FromSeconds(15);

    private readonly TesterConfig _config;
    private readonly ArchivePort _archive;
    private readonly RunTimelines _timelines;
    private readonly TimeProvider _time;
    private readonly string _softwareVersion;
    private readonly ILogger _logger;
    private readonly Channel<LaneCommand> _commands;
    private readonly LaneAlarms _alarms;
    private readonly LaneWatch _watch;
    private readonly FaultWatch _faults;
    private readonly CalibrationWatch _calibration;
    private readonly LaneJournal _journal;
    private readonly AutoStart? _autoStart;
    private readonly AmbientLink _ambient;
    private readonly WireCapture? _capture;
    private long _version;
    private volatile bool _retired;
    private volatile Altitude _altitude;
    private volatile View _view = new(null, null);

    /// <param name="config">The tester; its figures have been checked.</param>
    /// <param name="archive">Where everything goes before it is announced.</param>
    /// <param name="timelines">Where runs become visible.</param>
    /// <param name="time">Clock.</param>
    /// <param name="softwareVersion">Version that is written into each run.</param>
    /// <param name="methods">The methods that its automatic start may ask for.</param>
    /// <param name="logger">Log.</param>
    /// <param name="stations">The sources that testers share; null where there are none.</param>
    /// <param name="capture">Keeps what its wire says during runs; null where nobody does.</param>
    /// <exception cref="ArgumentException">The configured automatic start asks for something that no run may have.</exception>
    public Lane(TesterConfig config, ArchivePort archive, RunTimelines timelines, TimeProvider time, string softwareVersion, MethodSet methods, ILogger logger, AmbientStations? stations = null, WireCapture? capture = null)
    {
        ArgumentNullException.ThrowIfNull(config);
        ArgumentNullException.ThrowIfNull(archive);
        (_config, _archive, _timelines, _time, _softwareVersion, _logger) = (config, archive, timelines, time, softwareVersion, logger);
        _altitude = new(config.AltitudeMetres);
        Inbox = new(config.Id, config.QueueCapacity, time);
        _commands = Channel.CreateBounded<LaneCommand>(new BoundedChannelOptions(MostCommandsWaiting) { SingleReader = true });
        _alarms = new(time);
        _watch = new(Inbox, _alarms, config.StaleAfterSeconds, time);
        _capture = capture;
        _clockWatch = new(time);
        _ambient = new(config.Ambient, stations ?? new([]));
        _faults = new(_alarms, time);
        _calibration = new(config.Thermometer, _alarms, time);
        _thermometer = new(config.Thermometer);
        _journal = new(archive, time);
        _drive = config.Drive is { } drive ? new(config.Id, drive.Settings, _alarms, time, logger) : null;
        _autoStart = MakeAutoStart(methods);
    }

    /// <summary>Tester id.</summary>
    public string TesterId => _config.Id;

    /// <summary>Whether the tester reports when its test flame is over the cup.</summary>
    public bool HasFlameSignal => (_config.Channels & RowChannels.Flame) != 0;

    /// <summary>What a request for a run is checked against.</summary>
    public OrderFacts Facts => new(HasFlameSignal, _altitude.Metres, _config.Drive?.Settings) { Mode = _config.Mode };

    /// <summary>Where the tester's source puts its rows.</summary>
    public LaneInbox Inbox { get; }

    /// <summary>Listens to its wire; null where nobody does.</summary>
    internal WireTap? Tap => _capture?.Tap;

    /// <summary>Number of changes so far.</summary>
    public long Version => Interlocked.Read(ref _version);

    /// <summary>Why the archive cannot be written, for a person; null while it can.</summary>
    public string? ArchiveTrouble => _alarms.Standing.FirstOrDefault(alarm => alarm.Code == ServiceAlarmCodes.ArchiveFailed)?.Text;

    /// <summary>The tester at a glance. The run is the open one or, until the next, the newest closed one; without an open run the status holds the newest readings only.</summary>
    public TesterOverview Overview()
    {
        var view = _view;
        var (connection, text) = Inbox.Connection;
        return new(
            _config.Id, _config.Name, _config.Source.Description, connection, text, Inbox.SecondsSinceReading, Inbox.Counters, Inbox.LastRefusal,
            _alarms.Standing, view.Run is { } run ? Summary(run) : null, view.Status,
            _calibration.Overview, _drive?.Overview, _config.Mode, _ambient.Overview());
    }

    /// <summary>Starts a run; refused while one is open.</summary>
    public Task<CommandAnswer> StartAsync(RunOrder order, CancellationToken cancellationToken) => AskAsync(new StartCommand(order), cancellationToken);

    /// <summary>Closes a run now; refused where it is not the open one.</summary>
    public Task<CommandAnswer> StopAsync(string runId, CancellationToken cancellationToken) => AskAsync(new StopCommand(runId), cancellationToken);

    /// <summary>Takes what a person saw at the cup of an open guided run; archived before it is answered.</summary>
    public Task<CommandAnswer> ObserveAsync(string runId, Sighting seen, string? person, CancellationToken cancellationToken) => AskAsync(new ObserveCommand(runId, seen, person), cancellationToken);

    /// <summary>Takes that a fresh test portion was charged in an open equilibrium run; archived before it is answered.</summary>
    public Task<CommandAnswer> ChargeAsync(string runId, double? millilitres, string? person, CancellationToken cancellationToken) => AskAsync(new ChargeCommand(runId, millilitres, person), cancellationToken);

    /// <summary>Takes the newest observation of an open guided run back; archived before it is answered.</summary>
    /// <param name="runId">The run.</param>
    /// <param name="atSeconds">When the observation was made, s on the run's axis: refused where the newest is another. Null: the newest, whichever it is.</param>
    /// <param name="person">Who takes it back; null where nobody said.</param>
    /// <param name="cancellationToken">Gives up waiting for the answer.</param>
    public Task<CommandAnswer> WithdrawAsync(string runId, double? atSeconds, string? person, CancellationToken cancellationToken) => AskAsync(new WithdrawCommand(runId, atSeconds, person), cancellationToken);

    /// <summary>Takes no run any more, for ever; refused while one is open.</summary>
    internal Task<CommandAnswer> RetireAsync(CancellationToken cancellationToken) =>
        _retired ? Task.FromResult(new CommandAnswer(CommandOutcome.Done, null, null)) : AskAsync(new RetireCommand(), cancellationToken);

    /// <summary>Checks the station pressure of later runs by another altitude, m; null where it is unknown.</summary>
    internal void MoveTo(double? altitudeMetres) => _altitude = new(altitudeMetres);

    /// <summary>States that the file says something else of the tester, and why it is not taken yet; null where nothing waits.</summary>
    internal void ReportWaiting(string? text)
    {
        var standing = _alarms.Standing.FirstOrDefault(alarm => alarm.Code == ServiceAlarmCodes.ChangeWaits)?.Text;
        if (text == standing)
        {
            return;
        }

        if (text is null)
        {
            _alarms.Clear(AlarmOrigin.Tester, ServiceAlarmCodes.ChangeWaits);
        }
        else
        {
            _alarms.Raise(AlarmOrigin.Tester, ServiceAlarmCodes.ChangeWaits, text);
        }

        Interlocked.Increment(ref _version);
    }

    /// <summary>States that the loop failed and what is done about it.</summary>
    internal void ReportFailure(string text)
    {
        _alarms.Raise(AlarmOrigin.Tester, ServiceAlarmCodes.LaneFailed, text);
        Interlocked.Increment(ref _version);
    }

    private async Task<CommandAnswer> AskAsync(LaneCommand command, CancellationToken cancellationToken)
    {
        if (_retired)
        {
            return new(CommandOutcome.Busy, null, Retired);
        }

        if (!_commands.Writer.TryWrite(command))
        {
            return new(CommandOutcome.Busy, null, $"tester {TesterId} has too many commands waiting; try again");
        }

        try
        {
            return await command.Answer.Task.WaitAsync(LongestCommand, _time, cancellationToken).ConfigureAwait(false);
        }
        catch (TimeoutException)
        {
            return new(CommandOutcome.Busy, null, $"tester {TesterId} did not answer within {LongestCommand.TotalSeconds:0} s; look at its run before trying again");
        }
    }

    private string Retired => $"tester {TesterId} is being changed, because its configuration was; try again in a moment";

    private RunSummary Summary(RunTimeline run) => run.Summary(_archive.ArchivedRows);

    private OpenRun NewRun(RunOrder order)
    {
        var now = _time.GetUtcNow();
        var plan = order.Plan with { Thermometer = _config.Thermometer, MadeOn = CalibrationWatch.Today(_time), Figures = _config.Figures, Mode = _config.Mode, PromptLeadSeconds = _config.PromptLeadSeconds };
        if (plan.StationPressureKilopascals is null && _ambient.Barometer(_altitude.Metres) is { } barometer)
        {
            plan = plan with { Barometer = barometer, StationPressureKilopascals = barometer.NotUsed is null ? barometer.Kilopascals : null };
        }

        return new(new RunHeader(RunIds.Make(now, TesterId), TesterId, order.Specimen, plan, now, _softwareVersion, _config.Source.Description));
    }

    private AutoStart? MakeAutoStart(MethodSet methods)
    {
        if (_config.AutoStart is not { } asked)
        {
            return null;
        }

        return AutoStart.TryMake(asked, Facts, methods, out var start, out var errors)
            ? start
            : throw new ArgumentException($"The automatic start of tester {TesterId} cannot be used: {string.Join("; ", errors)}");
    }

    private sealed record View(RunTimeline? Run, RunStatus? Status);

    private sealed record Altitude(double? Metres);
}
