package hardpan.report;

import java.util.List;
import java.util.Locale;
import java.util.Objects;
import java.util.Set;
import java.util.regex.Pattern;
import org.jspecify.annotations.Nullable;

/**
 * One mono signal of the hand-over: what was cut out of one source, and where it lies in which
 * file. Files by clip hold one each; other layouts have several of them side by side or one after
 * the other, with silence between.
 *
 * @param file path within the hand-over folder, '/' separators
 * @param fileChannel the file's channel, from 0
 * @param fileStartFrame its first frame in the file
 * @param fileFrameCount length of the file
 * @param name the lane's name, such as the speaker's
 * @param role what it is, such as {@code left} or {@code console feed}
 * @param roleGuessed whether the role is a guess from the sound; false where a person said it, and
 *     in reports of earlier releases, which do not tell
 * @param source path of the source, or name of the run it was made from
 * @param channels indexes of the source's channels that went into it, at least one
 * @param startFrameOnReference where it starts on the reference, in frames of {@code sampleRateHz};
 *     negative before the reference; null for the lane of an unplaced source
 * @param timeReferenceSamples samples since midnight of its first frame, in frames of {@code
 *     sampleRateHz}; the file's own ({@code bext}, EBU Tech 3285) is earlier by {@code
 *     fileStartFrame}; null for the lane of an unplaced source
 * @param sampleRateHz sample rate of the written file
 * @param bitsPerSample 16, 24 or 32
 * @param sampleFormat whole numbers or floats
 * @param frameCount how much of the file it is
 * @param clockCorrected whether it was resampled to run on the reference's clock
 * @param clockBend what became of a bend of the source's clock; null if it has none, has no place,
 *     or lines up with nothing
 * @param clampedSamples samples beyond full scale that were held there
 * @param leftOutMarkers findings' stretches for which the file had no room
 * @param sha256 checksum of the written file in lower-case hexadecimal; null while it is only
 *     planned
 */
public record LaneReport(
    String file,
    Integer fileChannel,
    Long fileStartFrame,
    Long fileFrameCount,
    String name,
    String role,
    Boolean roleGuessed,
    String source,
    List<Integer> channels,
    @Nullable Long startFrameOnReference,
    @Nullable Long timeReferenceSamples,
    int sampleRateHz,
    int bitsPerSample,
    SampleFormat sampleFormat,
    long frameCount,
    boolean clockCorrected,
    @Nullable Bend clockBend,
    long clampedSamples,
    long leftOutMarkers,
    @Nullable String sha256) {
  private static final Pattern SHA_256 = Pattern.compile("[0-9a-f]{64}");

  private static final Set<Integer> BITS = Set.of(16, 24, 32);

  /** Checks and copies. */
  public LaneReport {
    Numbers.notEmpty(file, "a lane's file");
    Objects.requireNonNull(name, "name");
    Objects.requireNonNull(role, "role");
    Numbers.notEmpty(source, "a lane's source");
    Objects.requireNonNull(sampleFormat, "sampleFormat");
    // Reports of earlier releases lack these: a lane had its file to itself.
    roleGuessed = roleGuessed != null && roleGuessed;
    fileChannel = fileChannel == null ? 0 : fileChannel;
    fileStartFrame = fileStartFrame == null ? 0L : fileStartFrame;
    fileFrameCount = fileFrameCount == null ? (Long) frameCount : fileFrameCount;
    channels = List.copyOf(channels);
    if (channels.isEmpty() || channels.stream().anyMatch(index -> index < 0)) {
      throw new IllegalArgumentException("bad channel indexes " + channels);
    }
    Numbers.notNegativeOrNull(timeReferenceSamples, "timeReferenceSamples");
    if (sampleRateHz < 1 || !BITS.contains(bitsPerSample) || frameCount < 0) {
      throw new IllegalArgumentException("bad numbers for lane " + file);
    }
    if (fileChannel < 0 || fileStartFrame < 0 || fileStartFrame + frameCount > fileFrameCount) {
      throw new IllegalArgumentException("bad place in the file of lane " + file);
    }
    if (clampedSamples < 0 || leftOutMarkers < 0) {
      throw new IllegalArgumentException("bad counts for lane " + file);
    }
    if (sha256 != null) {
      sha256 = sha256.toLowerCase(Locale.ROOT);
      if (!SHA_256.matcher(sha256).matches()) {
        throw new IllegalArgumentException("bad checksum for lane " + file);
      }
    }
  }

  /** The lane of a clock that does not bend, with a role that a person gave. */
  public LaneReport(
      String file,
      Integer fileChannel,
      Long fileStartFrame,
      Long fileFrameCount,
      String name,
      String role,
      String source,
      List<Integer> channels,
      @Nullable Long startFrameOnReference,
      @Nullable Long timeReferenceSamples,
      int sampleRateHz,
      int bitsPerSample,
      SampleFormat sampleFormat,
      long frameCount,
      boolean clockCorrected,
      long clampedSamples,
      long leftOutMarkers,
      @Nullable String sha256) {
    this(
        file,
        fileChannel,
        fileStartFrame,
        fileFrameCount,
        name,
        role,
        false,
        source,
        channels,
        startFrameOnReference,
        timeReferenceSamples,
        sampleRateHz,
        bitsPerSample,
        sampleFormat,
        frameCount,
        clockCorrected,
        null,
        clampedSamples,
        leftOutMarkers,
        sha256);
  }

  /** What it is, and that this is a guess where nobody said it. */
  String roleWords() {
    return roleGuessed ? role + " (a guess)" : role;
  }

  /** Whether it has its file to itself. */
  boolean hasWholeFile() {
    return fileChannel == 0 && fileStartFrame == 0 && frameCount == fileFrameCount;
  }

  /** What becomes of a clock that bends. */
  public enum Bend implements Word {
    /** The lane was resampled along it. */
    FOLLOWED,
    /** The clock was not corrected: drift and bend together are too small to matter. */
    TOO_SMALL,
    /** The clock was not corrected: a person wanted it so. */
    SWITCHED_OFF
  }

  /** How a sample is written. */
  public enum SampleFormat implements Word {
    /** Whole numbers. */
    PCM,
    /** IEEE 754 floats. */
    FLOAT
  }
}
