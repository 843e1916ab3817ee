package hardpan.report;

import java.util.Objects;

/**
 * A file or folder that was seen and not taken.
 *
 * @param path relative to the given folder
 * @param reason what kind of reason
 * @param says the reason in a few words
 */
public record LeftOutReport(String path, Reason reason, String says) {
  /** All must be there. */
  public LeftOutReport {
    Numbers.notEmpty(path, "a path that was left out");
    Objects.requireNonNull(reason, "reason");
    Objects.requireNonNull(says, "says");
  }

  /** Kinds of reasons. */
  public enum Reason implements Word {
    /** Hidden. */
    HIDDEN("hidden file", "hidden files"),
    /** The side part of another file, as Apple's systems put it on foreign disks. */
    RESOURCE_FORK("side part of another file", "side parts of other files"),
    /** A picture or thumbnail. */
    PICTURE("picture or folder of pictures", "pictures or folders of pictures"),
    /** A file about clips or cards. */
    SIDE_FILE("side file", "side files"),
    /** No clip or recording by its name. */
    NOT_MEDIA("file that is no media", "files that are no media"),
    /** A smaller copy of a clip that is taken. */
    PROXY("smaller copy", "smaller copies"),
    /** The same content as a file that is taken. */
    DUPLICATE("file that is there twice", "files that are there twice"),
    /** An earlier hand-over. */
    HAND_OVER("earlier hand-over", "earlier hand-overs"),
    /** Deeper or more than is searched. */
    LIMIT("part beyond the limits of the search", "parts beyond the limits of the search"),
    /** A folder that cannot be read. */
    UNREADABLE("folder that cannot be read", "folders that cannot be read");

    private final String one;
    private final String many;

    Reason(String one, String many) {
      this.one = one;
      this.many = many;
    }

    /** "1 side file", "3 side files". */
    String counted(long count) {
      return Figures.count(count, one, many);
    }
  }
}
