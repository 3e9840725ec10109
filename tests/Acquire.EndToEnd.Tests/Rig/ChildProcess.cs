using System.Collections.Concurrent;
using System.Diagnostics;
using System.Globalization;
using System.Text;

namespace Acquire.EndToEnd.Tests.Rig;

/// <summary>A program that was started by a test or a campaign: its output is kept and shown with a failure, and it never outlives them.</summary>
internal sealed class ChildProcess : IAsyncDisposable
{
    private static readonly ConcurrentDictionary<int, Process> Living = new();

    private readonly Process _process;
    private readonly string _name;
    private readonly StringBuilder _output = new();
    private readonly StringBuilder _error = new();

    /// <summary>Told name and output of each program once it is done with; null where nobody wants them.</summary>
    public static Action<string>? Teller { get; set; }

    // A test host that is ended by its own time limit runs no clean-up of tests.
    static ChildProcess() => AppDomain.CurrentDomain.ProcessExit += (_, _) =>
    {
        foreach (var process in Living.Values)
        {
            process.Kill(entireProcessTree: true);
        }
    };

    private ChildProcess(string name, Process process) => (_name, _process) = (name, process);

    /// <summary>What it has written to standard output so far.</summary>
    public string Output => Text(_output);

    /// <summary>What it has written to standard error so far.</summary>
    public string Error => Text(_error);

    /// <summary>Told each line of standard output as it comes, on another thread.</summary>
    public event Action<string>? Said;

    /// <summary>Its number in the system.</summary>
    public int Id => _process.Id;

    /// <summary>Whether it has ended.</summary>
    public bool HasEnded => _process.HasExited;

    /// <summary>Starts a program.</summary>
    /// <param name="program">Name or path.</param>
    /// <param name="arguments">What it is told.</param>
    /// <param name="workingFolder">Where it runs; null for here.</param>
    /// <param name="environment">Variables it is given besides those of this process.</param>
    public static ChildProcess Start(string program, IEnumerable<string> arguments, string? workingFolder = null, IReadOnlyDictionary<string, string>? environment = null)
    {
        var start = new ProcessStartInfo(program, arguments)
        {
            RedirectStandardOutput = true,
            RedirectStandardError = true,
            RedirectStandardInput = true,
            StandardOutputEncoding = Encoding.UTF8,
            StandardErrorEncoding = Encoding.UTF8,
            WorkingDirectory = workingFolder ?? "",
        };
        start.Environment["DOTNET_CLI_TELEMETRY_OPTOUT"] = "1";
        foreach (var (name, value) in environment ?? new Dictionary<string, string>())
        {
            start.Environment[name] = value;
        }

        var child = new ChildProcess($"{Path.GetFileName(program)} {string.Join(' ', start.ArgumentList)}", new Process { StartInfo = start });
        child._process.OutputDataReceived += (_, line) =>
        {
            Append(child._output, line.Data);
            child.Said?.Invoke(line.Data ?? "");
        };
        child._process.ErrorDataReceived += (_, line) => Append(child._error, line.Data);
        child._process.Start();
        Living[child._process.Id] = child._process;
        child._process.StandardInput.Close();
        child._process.BeginOutputReadLine();
        child._process.BeginErrorReadLine();
        return child;
    }

    /// <summary>Waits until it ends by itself; its exit code.</summary>
    /// <exception cref="TimeoutException">It did not end within the limit.</exception>
    public async Task<int> EndAsync(double limitSeconds = 60)
    {
        try
        {
            await _process.WaitForExitAsync(CancellationToken.None).WaitAsync(TimeSpan.FromSeconds(limitSeconds), TimeProvider.System);
        }
        catch (TimeoutException)
        {
            throw new TimeoutException($"'{_name}' did not end within {limitSeconds} s.\n{Output}\n{Error}");
        }

        return _process.ExitCode;
    }

    /// <summary>Ends it at once and without warning (SIGKILL on Unix).</summary>
    public async Task KillAsync()
    {
        _process.Kill(entireProcessTree: true);
        await _process.WaitForExitAsync(CancellationToken.None);
    }

    /// <summary>Asks it to end, as a service manager does (SIGTERM); its exit code.</summary>
    public async Task<int> TerminateAsync()
    {
        await using var signal = Start("sh", ["-c", string.Create(CultureInfo.InvariantCulture, $"kill -TERM {_process.Id}")]);
        await signal.EndAsync();
        return await EndAsync();
    }

    /// <inheritdoc/>
    public async ValueTask DisposeAsync()
    {
        if (!_process.HasExited)
        {
            await KillAsync();
        }

        Living.TryRemove(_process.Id, out _);
        _process.Dispose();
        Teller?.Invoke($"--- {_name}\n{Output}{Error}");
    }

    private static void Append(StringBuilder text, string? line)
    {
        if (line is not null)
        {
            lock (text)
            {
                text.AppendLine(line);
            }
        }
    }

    private static string Text(StringBuilder text)
    {
        lock (text)
        {
            return text.ToString();
        }
    }
}
