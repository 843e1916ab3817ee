package hardpan.cli;

import hardpan.media.ReaderChoice;
import java.nio.file.Path;
import java.util.List;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;

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

  /** Takes the word in lower case. */
  static final class ReaderConverter extends WordConverter<ReaderChoice> {
    ReaderConverter() {
      super(ReaderChoice.values());
    }
  }
}
