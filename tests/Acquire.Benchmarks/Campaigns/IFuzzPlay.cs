namespace Acquire.Benchmarks.Campaigns;

/// <summary>What makes one hostile input after the other and gives it to a decoder.</summary>
internal interface IFuzzPlay
{
    /// <summary>The newest input, and for whom it was, for the story of a fault.</summary>
    string Newest { get; }

    /// <summary>Makes one input and gives it to the decoder; throws where something false came of it.</summary>
    void Once();
}
