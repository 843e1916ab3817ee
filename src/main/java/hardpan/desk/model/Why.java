package hardpan.desk.model;

import java.util.List;

/**
 * What a sentence rests on.
 *
 * @param lines the numbers behind it in plain words, one a line
 * @param places where in the source it was observed
 */
public record Why(List<String> lines, List<Place> places) {
  /** Nothing more is known. */
  public static final Why NONE = new Why(List.of(), List.of());

  /** Copies the lists. */
  public Why {
    lines = List.copyOf(lines);
    places = List.copyOf(places);
  }

  /** Whether there is nothing to open. */
  public boolean isEmpty() {
    return lines.isEmpty() && places.isEmpty();
  }

  /**
   * A stretch that can be gone to.
   *
   * @param startSeconds its start in the source
   * @param words the stretch in words
   */
  public record Place(double startSeconds, String words) {}
}
