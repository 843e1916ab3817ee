package hardpan.cli;

import hardpan.lanes.LaneChoices;
import java.util.List;
import java.util.Locale;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import picocli.CommandLine.ITypeConverter;
import picocli.CommandLine.Option;
import picocli.CommandLine.TypeConversionException;

/** What a person can decide about single lanes. */
final class LaneOptions {
  @Option(
      names = "--lane",
      paramLabel = "SOURCE:CHANNEL=NAME",
      converter = NameConverter.class,
      description =
          "Call a channel's lane so: a source's path or the end of it, or a device; the channel"
              + " from 1. May be given several times.")
  private List<LaneChoices.Channel> names = List.of();

  @Option(
      names = "--role",
      paramLabel = "SOURCE:CHANNEL=ROLE",
      converter = RoleConverter.class,
      description =
          "Say what a channel is: microphone, console feed ... May be given several times.")
  private List<LaneChoices.Channel> roles = List.of();

  @Option(
      names = "--write",
      paramLabel = "SOURCE:CHANNEL=yes|no",
      converter = WriteConverter.class,
      description =
          "Write a channel's lane, even a silent one, or do not. May be given several times.")
  private List<LaneChoices.Channel> written = List.of();

  @Option(
      names = "--pair",
      paramLabel = "SOURCE=one|both",
      converter = PairConverter.class,
      description =
          "Where left and right carry one signal: one lane, as usual, or both sides. May be given"
              + " several times.")
  private List<LaneChoices.Pair> pairs = List.of();

  /** All of it. */
  LaneChoices choices() {
    LaneChoices all = LaneChoices.NONE;
    for (List<LaneChoices.Channel> some : List.of(names, roles, written)) {
      for (LaneChoices.Channel choice : some) {
        all = all.with(choice);
      }
    }
    for (LaneChoices.Pair pair : pairs) {
      all = all.with(pair);
    }
    return all;
  }

  /** Takes SOURCE:CHANNEL=SOMETHING. */
  private abstract static class ChannelConverter implements ITypeConverter<LaneChoices.Channel> {
    private static final Pattern FORM = Pattern.compile("(.+?):([1-9][0-9]{0,3})=(.*)");

    abstract LaneChoices.Channel choice(String source, int channel, String value);

    @Override
    public LaneChoices.Channel convert(String text) {
      Matcher form = FORM.matcher(text);
      try {
        if (form.matches()) {
          String source = source(form.group(1));
          return choice(source, Integer.parseInt(form.group(2)) - 1, form.group(3));
        }
      } catch (IllegalArgumentException e) {
        throw new TypeConversionException("'" + text + "': " + e.getMessage() + ".");
      }
      throw new TypeConversionException(
          "'" + text + "' is not of the form SOURCE:CHANNEL=..., such as CAM-A:1=Anna");
    }
  }

  private static String source(String typed) {
    return typed.strip().replace('\\', '/').replaceAll("^\\./", "");
  }

  /** Takes a name. */
  static final class NameConverter extends ChannelConverter {
    @Override
    LaneChoices.Channel choice(String source, int channel, String value) {
      return LaneChoices.Channel.named(source, channel, value);
    }
  }

  /** Takes a role. */
  static final class RoleConverter extends ChannelConverter {
    @Override
    LaneChoices.Channel choice(String source, int channel, String value) {
      return LaneChoices.Channel.role(source, channel, value);
    }
  }

  /** Takes yes or no. */
  static final class WriteConverter extends ChannelConverter {
    @Override
    LaneChoices.Channel choice(String source, int channel, String value) {
      return LaneChoices.Channel.written(source, channel, isFirst(value, "yes", "no"));
    }
  }

  /** Takes SOURCE=one or SOURCE=both. */
  static final class PairConverter implements ITypeConverter<LaneChoices.Pair> {
    @Override
    public LaneChoices.Pair convert(String text) {
      int equals = text.lastIndexOf('=');
      try {
        return new LaneChoices.Pair(
            source(text.substring(0, Math.max(0, equals))),
            isFirst(text.substring(equals + 1), "one", "both"));
      } catch (IllegalArgumentException e) {
        throw new TypeConversionException(
            "'" + text + "' is not of the form SOURCE=one or SOURCE=both, such as CAM-B=both");
      }
    }
  }

  private static boolean isFirst(String typed, String first, String second) {
    String word = typed.strip().toLowerCase(Locale.ROOT);
    if (!word.equals(first) && !word.equals(second)) {
      throw new IllegalArgumentException("say " + first + " or " + second);
    }
    return word.equals(first);
  }
}
