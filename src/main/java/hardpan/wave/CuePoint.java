package hardpan.wave;

/**
 * A marker or, with a length, a region.
 *
 * @param id unsigned 32-bit name that ties cue, label and note together; unique in the file
 * @param frame position from the first frame of the sound, at least 0
 * @param lengthFrames length of a region, 0 for a marker
 * @param label short text, may be empty
 * @param note longer text, may be empty
 */
public record CuePoint(long id, long frame, long lengthFrames, String label, String note) {
  private static final long UNSIGNED_INT_MAX = 0xFFFF_FFFFL;

  /** Checks the ranges. */
  public CuePoint {
    if (id < 0 || id > UNSIGNED_INT_MAX || frame < 0 || lengthFrames < 0) {
      throw new IllegalArgumentException(
          "cue point " + id + " at " + frame + " length " + lengthFrames);
    }
  }

  /** A marker without a note. */
  public static CuePoint marker(long id, long frame, String label) {
    return new CuePoint(id, frame, 0, label, "");
  }

  /** Whether the 32-bit fields of the chunk can hold it. */
  boolean fits() {
    return frame <= UNSIGNED_INT_MAX && lengthFrames <= UNSIGNED_INT_MAX;
  }
}
