package hardpan.wave;

/**
 * How the samples of a Wave file are stored.
 *
 * @param coding whole numbers or floats
 * @param rateHz frames a second, above 0
 * @param channelCount 1 to {@value #MAX_CHANNELS}
 * @param containerBits bits one sample takes in the file: 8, 16, 24 or 32 for whole numbers, 32 or
 *     64 for floats
 * @param validBits bits that carry sound, 1 to {@code containerBits}; they are the most significant
 *     ones of the container (EBU Tech 3285, A2.2). Floats always use all
 * @param channelMask speaker positions as in EBU Tech 3306, section 3; 0 means none are assigned,
 *     which is right for separate microphones. Never more positions than channels
 */
public record WaveFormat(
    Coding coding,
    int rateHz,
    int channelCount,
    int containerBits,
    int validBits,
    int channelMask) {

  /** More channels than this are refused. Our own bound. */
  public static final int MAX_CHANNELS = 1024;

  /** What a sample is. */
  public enum Coding {
    /** Linear whole numbers; unsigned at 8 bits and below, else two's complement. */
    INTEGER,
    /** IEEE 754; nominal full scale is 1.0. */
    FLOAT
  }

  /** Checks the ranges and how the values go together. */
  public WaveFormat {
    boolean containerOk =
        coding == Coding.FLOAT
            ? containerBits == 32 || containerBits == 64
            : containerBits == 8
                || containerBits == 16
                || containerBits == 24
                || containerBits == 32;
    if (!containerOk) {
      throw new IllegalArgumentException(coding + " samples in " + containerBits + " bits");
    }
    if (validBits < 1
        || validBits > containerBits
        || (coding == Coding.FLOAT && validBits != containerBits)) {
      throw new IllegalArgumentException(validBits + " valid bits in " + containerBits);
    }
    if (rateHz < 1) {
      throw new IllegalArgumentException("rate " + rateHz);
    }
    if (channelCount < 1 || channelCount > MAX_CHANNELS) {
      throw new IllegalArgumentException("channel count " + channelCount);
    }
    if (Integer.bitCount(channelMask) > channelCount) {
      throw new IllegalArgumentException(
          "channel mask names more speakers than there are channels: " + channelMask);
    }
  }

  /** Whole numbers that fill their container, no speakers assigned. */
  public static WaveFormat integer(int bits, int rateHz, int channelCount) {
    return new WaveFormat(Coding.INTEGER, rateHz, channelCount, bits, bits, 0);
  }

  /** 32-bit floats, no speakers assigned. */
  public static WaveFormat float32(int rateHz, int channelCount) {
    return new WaveFormat(Coding.FLOAT, rateHz, channelCount, 32, 32, 0);
  }

  /** Bytes one sample of one channel takes. */
  public int bytesPerSample() {
    return containerBits / 8;
  }

  /** Bytes one sample of every channel takes; the format's block align. */
  public int bytesPerFrame() {
    return bytesPerSample() * channelCount;
  }

  /** Bytes a second; kept as a long because odd headers pass 2 GiB/s. */
  public long bytesPerSecond() {
    return (long) bytesPerFrame() * rateHz;
  }

  /**
   * Whether the {@code fmt} chunk must be of the extensible kind: more than two channels, speakers
   * assigned, or valid bits that do not fill the container (Microsoft, WAVEFORMATEXTENSIBLE).
   */
  boolean needsExtensible() {
    return channelCount > 2 || channelMask != 0 || validBits != containerBits;
  }
}
