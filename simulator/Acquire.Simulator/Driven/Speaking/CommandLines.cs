using Acquire.Core.Control;

namespace Acquire.Simulator;

/// <summary>Cuts what comes over a serial line into lines; one that is too long to be a command is thrown away up to its end.</summary>
internal sealed class CommandLines(DrivenTalk talk)
{
    private readonly byte[] line = new byte[DriveText.LongestLineBytes];
    private int length;
    private bool tooLong;

    public void Add(ReadOnlySpan<byte> bytes)
    {
        foreach (var one in bytes)
        {
            if (one == '\n')
            {
                End();
            }
            else if (length == line.Length)
            {
                tooLong = true;
            }
            else
            {
                line[length++] = one;
            }
        }
    }

    private void End()
    {
        if (tooLong)
        {
            talk.HearNoise();
        }
        else
        {
            talk.HearLine(line.AsSpan(0, length));
        }

        (length, tooLong) = (0, false);
    }
}
