using System.Net;
using Acquire.Service.CommandLine;
using Acquire.Service.Configuration;
using Acquire.Service.Tests.Sources.Mqtt;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.Hosting;
using Xunit;

namespace Acquire.Service.Tests.CommandLine;

[Collection(nameof(Environment.ExitCode))]
public sealed class ServiceRunTests
{
    [Fact(Timeout = 30000)]
    public async Task Part_of_the_service_that_dies_ends_it_with_a_failure() => Assert.Equal(ExitCode.Failed, await RunAsync<Dying>(TestContext.Current.CancellationToken));

    [Fact(Timeout = 30000)]
    public async Task Service_that_is_asked_to_end_ends_well() => Assert.Equal(ExitCode.Done, await RunAsync<Ending>(TestContext.Current.CancellationToken));

    private static async Task<int> RunAsync<T>(CancellationToken cancellationToken)
        where T : class, IHostedService
    {
        var config = new AcquireConfig
        {
            Listen = new Uri("http://127.0.0.1:0"),
            DataDirectory = TestFolders.Make("acquire-run-"),
            Mqtt = new MqttConfig.Embedded(IPAddress.Loopback, Mosquitto.FreePort()),
            Testers = [],
        };
        using var output = new StringWriter();
        using var error = new StringWriter();
        var code = await ServiceRun.RunAsync(config, services => services.AddHostedService<T>(), output, error, cancellationToken);
        Assert.Equal("", error.ToString());
        return code;
    }

    private sealed class Dying : BackgroundService
    {
        protected override async Task ExecuteAsync(CancellationToken stoppingToken)
        {
            await Task.Yield();
            throw new InvalidOperationException("a mistake");
        }
    }

    private sealed class Ending(IHostApplicationLifetime lifetime) : BackgroundService
    {
        protected override async Task ExecuteAsync(CancellationToken stoppingToken)
        {
            await Task.Yield();
            lifetime.StopApplication();
        }
    }
}
