package hardpan.bench;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.regex.Matcher;
import java.util.regex.Pattern;

/** The part of a page that a bench fills in, between two markers that carry the part's name. */
public final class PageSection {
  private static final Pattern PART =
      Pattern.compile("<!-- ([a-z-]+) -->.*?<!-- end of \\1 -->", Pattern.DOTALL);

  private PageSection() {}

  /**
   * A page with new figures in one part, or with the part at its end if it has none.
   *
   * @param file the page, which may be missing
   * @param name the part's name
   * @param figures Markdown
   * @throws IOException if the page cannot be read
   */
  public static String in(Path file, String name, String figures) throws IOException {
    String page = Files.exists(file) ? Files.readString(file, StandardCharsets.UTF_8) : "";
    String startMark = "<!-- " + name + " -->";
    String endMark = "<!-- end of " + name + " -->";
    String part = startMark + "\n" + figures.strip() + "\n" + endMark;
    int start = page.indexOf(startMark);
    int end = page.indexOf(endMark);
    if (start >= 0 && end > start) {
      return page.substring(0, start) + part + page.substring(end + endMark.length());
    }
    return page.isEmpty() ? part + "\n" : page.strip() + "\n\n" + part + "\n";
  }

  /**
   * A page that is written anew, followed by the marked parts that the page before it had.
   *
   * @param before the page as it was; empty if there was none
   * @param page the new page
   */
  public static String kept(String before, String page) {
    StringBuilder text = new StringBuilder(page.strip()).append('\n');
    Matcher parts = PART.matcher(before);
    while (parts.find()) {
      text.append('\n').append(parts.group()).append('\n');
    }
    return text.toString();
  }
}
