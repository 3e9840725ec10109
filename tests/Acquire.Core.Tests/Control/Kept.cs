using System.Reflection;
using System.Text.Json;
using System.Text.Json.Serialization;
using Xunit;

namespace Acquire.Core.Tests.Control;

/// <summary>Writes a state and reads it back, as a service does that goes down and comes up.</summary>
internal static class Kept
{
    private static readonly JsonSerializerOptions Options = new() { NumberHandling = JsonNumberHandling.AllowNamedFloatingPointLiterals };

    public static string Save<T>(T state) => JsonSerializer.Serialize(state, Options);

    public static T Again<T>(T state) => JsonSerializer.Deserialize<T>(Save(state), Options)!;

    /// <summary>Every field, and every property that holds one, is written, except those named.</summary>
    public static void EveryMember(Type type, params string[] except)
    {
        const BindingFlags own = BindingFlags.Instance | BindingFlags.NonPublic | BindingFlags.Public;
        var fields = type.GetFields(own);
        Assert.NotEmpty(fields);
        foreach (var field in fields)
        {
            var property = field.Name.StartsWith('<') ? type.GetProperty(field.Name[1..field.Name.IndexOf('>', StringComparison.Ordinal)], own) : null;
            var member = (MemberInfo?)property ?? field;
            Assert.True(except.Contains(member.Name) || member.IsDefined(typeof(JsonIncludeAttribute), false), $"{type.Name}.{member.Name} is not kept");
        }
    }
}
