package hardpan.lanes;

/** Which samples a person wants in the lanes' files. */
public enum SampleChoice {
  /** As each source has them, so that nothing is lost. */
  KEPT,
  /** Whole numbers of 16 bits; what has more is rounded with dither. */
  PCM16,
  /** Whole numbers of 24 bits. */
  PCM24,
  /** IEEE floats of 32 bits. */
  FLOAT32;

  /** What becomes of a format. */
  Lane.Format of(Lane.Format needed) {
    return switch (this) {
      case KEPT -> needed;
      case PCM16 -> new Lane.Format(false, 16, needed.rateHz());
      case PCM24 -> new Lane.Format(false, 24, needed.rateHz());
      case FLOAT32 -> new Lane.Format(true, 32, needed.rateHz());
    };
  }
}
