namespace Acquire.Service.Archive.Chain;

/// <summary>The faults found so far; bounded, because in an archive that was exchanged every record is one.</summary>
internal sealed class FaultList
{
    /// <summary>As many are kept.</summary>
    public const int Most = 1000;

    private readonly List<ArchiveFault> _faults = [];

    public IReadOnlyList<ArchiveFault> Kept => _faults;

    public long LeftOut { get; private set; }

    public void Add(string? run, string record, string text)
    {
        if (_faults.Count < Most)
        {
            _faults.Add(new(run, record, text));
        }
        else
        {
            LeftOut++;
        }
    }
}
