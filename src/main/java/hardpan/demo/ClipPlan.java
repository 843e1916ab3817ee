package hardpan.demo;

import java.time.OffsetDateTime;
import org.jspecify.annotations.Nullable;

/**
 * One clip to be made.
 *
 * @param path in the media folder, with {@code /}
 * @param source what its sockets or microphones get
 * @param format how the camera writes it
 * @param clock the camera's clock and where the clip begins
 * @param seconds length by the camera's own clock
 * @param startedAt what the camera's calendar said, right or wrong
 * @param electronics gains, noise, clipping; where {@code excessDb} is given, the gains are
 *     relative to the one that makes it
 * @param excessDb how far the loudest peak shall go over the ceiling; null without clipping
 */
record ClipPlan(
    String path,
    Source source,
    Format format,
    ClipClock clock,
    double seconds,
    OffsetDateTime startedAt,
    DeviceChain.Electronics electronics,
    @Nullable Double excessDb) {

  /** Where a clip's sound comes from. */
  enum Source {
    /** Lectern on the left, lapel on the right, through a splitter. */
    SPLIT,
    /** The console's output on both sides. */
    BOARD,
    /** The hall's air, at a distance. */
    FAR,
    /** Another room on another evening. */
    OTHER_EVENING
  }

  /**
   * How a camera writes sound, in the words of the FFmpeg libraries.
   *
   * @param lateFrames how many frames of the encoder's run-up come before the first sample when the
   *     file is decoded: none where the file declares its delay (edit list) or has none; 256 for
   *     AC-3 in a transport stream, the overlap of its 512-point transform (ATSC A/52, 7.9.5),
   *     which nothing declares
   */
  record Format(
      String container, String codec, int rateHz, @Nullable Integer bitRate, int lateFrames) {
    static final Format MOV_PCM = new Format("mov", "pcm_s16le", 48000, null, 0);
    static final Format MP4_AAC = new Format("mp4", "aac", 48000, 192_000, 0);
    static final Format MP4_AAC_44 = new Format("mp4", "aac", 44100, 128_000, 0);
    static final Format TS_AC3 = new Format("mpegts", "ac3", 48000, 384_000, 256);
  }

  /** The device, which is the folder. */
  String device() {
    return path.substring(0, path.indexOf('/'));
  }

  /** Length in frames, counted from the first decoded one. */
  long frames() {
    return Math.round(seconds * clock.rateHz());
  }
}
