package hardpan.cli;

import hardpan.media.ReaderChoice;
import hardpan.shoot.DeviceRules;
import java.nio.file.Path;
import java.util.List;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.ITypeConverter;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;
import picocli.CommandLine.TypeConversionException;

/** What all commands that read sources take. */
final class CommonOptions {
  @Parameters(arity = "1..*", paramLabel = "PATH", description = "Folders and files to read.")
  List<Path> paths = List.of();

  @Option(names = "--json", description = "Print the report as JSON.")
  boolean json;

  @Option(names = "--quiet", description = "Print nothing but errors.")
  boolean quiet;

  @Option(
      names = "--reader",
      paramLabel = "WHICH",
      defaultValue = "best",
      description = "best, native (FFmpeg libraries) or fallback (pure Java). Default: best.",
      converter = ReaderConverter.class)
  ReaderChoice reader = ReaderChoice.BEST;

  @Option(
      names = "--shoot",
      paramLabel = "FILE",
      description =
          "Keep what was measured in this file, made if need be; the next run reads only what is"
              + " new.")
  @Nullable Path shootFile;

  @Option(
      names = "--device",
      paramLabel = "NAME=PATTERN",
      converter = RuleConverter.class,
      description =
          "Say which device sources come from: a pattern of their paths, or of a folder's, with *,"
              + " ? and **. May be given several times; the first that fits counts.")
  List<DeviceRules.Rule> devices = List.of();

  /** Takes NAME=PATTERN. */
  static final class RuleConverter implements ITypeConverter<DeviceRules.Rule> {
    @Override
    public DeviceRules.Rule convert(String text) {
      try {
        return DeviceRules.Rule.parse(text);
      } catch (IllegalArgumentException e) {
        throw new TypeConversionException(
            "'" + text + "' is not of the form NAME=PATTERN, such as CAM-B='second card/*'");
      }
    }
  }

  /** Takes the word in lower case. */
  static final class ReaderConverter extends WordConverter<ReaderChoice> {
    ReaderConverter() {
      super(ReaderChoice.values());
    }
  }
}
