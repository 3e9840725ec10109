using Acquire.Service.CommandLine;

return await Root.RunAsync(args).ConfigureAwait(false);
