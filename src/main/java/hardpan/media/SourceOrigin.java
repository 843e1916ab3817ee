package hardpan.media;

import java.util.List;

/**
 * When and from what device a file says it comes.
 *
 * @param maker the device
 * @param startClaims everything that is said about its start, in no order of merit; see {@link
 *     StartClaim#best}
 */
public record SourceOrigin(Maker maker, List<StartClaim> startClaims) {
  /** Nothing is said. */
  public static final SourceOrigin UNKNOWN = new SourceOrigin(Maker.UNKNOWN, List.of());

  /** Copies the list. */
  public SourceOrigin {
    startClaims = List.copyOf(startClaims);
  }
}
