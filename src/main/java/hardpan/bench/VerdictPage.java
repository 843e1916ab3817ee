package hardpan.bench;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;

/** The place of the verdict figures in the page on accuracy. */
public final class VerdictPage {
  static final String INTRODUCTION =
      """
      Every clip is
      made anew from its seed and number out of recorded voices and music and made ones, with rooms, noise
      and hum, written by the FFmpeg libraries (PCM; AAC at 96 to 320 kbit/s; AC-3; MP3; rates are for both
      channels together), and read back and judged the way the product does. One of them again:
      `--only pair-17`. The verdicts were developed on other seeds than this page's.""";

  private static final String START = "<!-- verdicts -->";
  private static final String END = "<!-- end of verdicts -->";

  private VerdictPage() {}

  /**
   * A page with the figures between its two markers, or at its end if it has none.
   *
   * @param file the page, which may be missing
   * @throws IOException if the file cannot be read
   */
  public static String with(Path file, String figures) throws IOException {
    String page = Files.exists(file) ? Files.readString(file, StandardCharsets.UTF_8) : "";
    String part = START + "\n" + figures.strip() + "\n" + END;
    int start = page.indexOf(START);
    int end = page.indexOf(END);
    return start >= 0 && end > start
        ? page.substring(0, start) + part + page.substring(end + END.length())
        : page + (page.isEmpty() || page.endsWith("\n") ? "" : "\n") + "\n" + part + "\n";
  }
}
