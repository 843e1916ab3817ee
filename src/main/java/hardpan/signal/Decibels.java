package hardpan.signal;

/** Ratios and powers as decibels and back. Zero and negative input give negative infinity. */
public final class Decibels {
  private Decibels() {}

  /** 20 log10 of an amplitude ratio. */
  public static double ofAmplitude(double ratio) {
    return ratio > 0 ? 20 * Math.log10(ratio) : Double.NEGATIVE_INFINITY;
  }

  /** 10 log10 of a power ratio. */
  public static double ofPower(double ratio) {
    return ratio > 0 ? 10 * Math.log10(ratio) : Double.NEGATIVE_INFINITY;
  }

  /** The amplitude ratio of a level difference. */
  public static double toAmplitude(double db) {
    return Math.pow(10, db / 20);
  }
}
