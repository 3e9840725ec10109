using Acquire.Service.Archive.Database;
using Acquire.Service.Archive.Writing;

namespace Acquire.Service.Archive.Bundles;

/// <summary>A run from another archive; refused where one of its id is here.</summary>
internal sealed class ImportWork(RunBundle bundle, RunImport import) : AwaitedWork(bundle.Records.Count + 1)
{
    public override void Write(ArchiveStatements statements, Func<OpenRun, RunStage> stageOf)
    {
        if (statements.Imports.WhyNot(bundle) is { } no)
        {
            Refuse(no);
            return;
        }

        statements.Imports.Insert(bundle, import);
    }

    protected override void Committed()
    {
    }
}
