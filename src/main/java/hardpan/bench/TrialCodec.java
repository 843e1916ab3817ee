package hardpan.bench;

import hardpan.media.FfmpegClipWriter;

/**
 * The ways a trial's sound is written.
 *
 * @param name name in the tables
 * @param container the libraries' name of the container
 * @param codec the libraries' name of the encoder
 * @param bitRate bits a second for two channels, 0 for uncompressed
 */
record TrialCodec(String name, String container, String codec, int bitRate) {
  static final TrialCodec PCM = new TrialCodec("PCM", "mov", "pcm_s16le", 0);
  static final TrialCodec PCM24 = new TrialCodec("PCM", "mov", "pcm_s24le", 0);

  private static final int[] AAC = {96, 128, 160, 192, 256, 320};
  private static final int[] AC3 = {192, 256, 384};
  private static final int[] MP3 = {128, 192, 256};

  /** A third uncompressed, the rest over the lossy codecs, AAC most often. */
  static TrialCodec draw(TrialDice dice) {
    double at = dice.between(0, 1);
    if (at < 0.35) {
      return dice.chance(0.3) ? PCM24 : PCM;
    }
    if (at < 0.75) {
      return aac(AAC[dice.below(AAC.length)]);
    }
    if (at < 0.88) {
      int kbit = AC3[dice.below(AC3.length)];
      return new TrialCodec("AC-3", "mpegts", "ac3", kbit * 1000);
    }
    int kbit = MP3[dice.below(MP3.length)];
    return new TrialCodec("MP3", "mp4", "libmp3lame", kbit * 1000);
  }

  static TrialCodec aac(int kbit) {
    return new TrialCodec(kbit < 128 ? "AAC 96" : "AAC 128 to 320", "mp4", "aac", kbit * 1000);
  }

  boolean lossy() {
    return bitRate > 0;
  }

  FfmpegClipWriter.Settings settings(int rateHz, int channels) {
    // A transport stream without a picture would pass for a recording.
    boolean picture = container.equals("mpegts");
    Integer rate = bitRate == 0 ? null : Integer.valueOf(bitRate);
    return new FfmpegClipWriter.Settings(container, codec, rateHz, channels, rate, picture, null);
  }
}
