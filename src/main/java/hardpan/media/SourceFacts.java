package hardpan.media;

import java.time.LocalDateTime;
import java.time.OffsetDateTime;
import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * What a source says of itself before any sample is looked at.
 *
 * @param kind clip or recording
 * @param container short lower-case name: {@code wav}, {@code rf64}, {@code mov}, {@code mp4},
 *     {@code mts} ...
 * @param codec short lower-case name as the FFmpeg libraries spell it: {@code pcm_s16le}, {@code
 *     aac}, {@code ac3} ...
 * @param sampleForm whether samples are whole numbers, floats, or come out of a lossy decoder
 * @param rateHz sample rate, above 0
 * @param bitsPerSample valid bits of an uncompressed sample; null for lossy codecs
 * @param channelCount number of channels over all sound streams, at least 1
 * @param frameCount expected length in frames after edit lists; null if only decoding can tell
 * @param timeReferenceSamples {@code bext} samples since midnight, if the file has it
 * @param channelNames one name a channel where the file names them, else empty strings
 * @param readBy which reader delivers the samples
 * @param origin when and from what device the file says it comes
 */
public record SourceFacts(
    Kind kind,
    String container,
    String codec,
    SampleForm sampleForm,
    int rateHz,
    @Nullable Integer bitsPerSample,
    int channelCount,
    @Nullable Long frameCount,
    @Nullable Long timeReferenceSamples,
    List<String> channelNames,
    ReadBy readBy,
    SourceOrigin origin) {

  /** Copies the list. */
  public SourceFacts {
    channelNames = List.copyOf(channelNames);
  }

  /**
   * For a file that has only the creation time of its container, or not even that.
   *
   * @param startedAt that time, in UTC by the standards; null if there is none
   */
  public SourceFacts(
      Kind kind,
      String container,
      String codec,
      SampleForm sampleForm,
      int rateHz,
      @Nullable Integer bitsPerSample,
      int channelCount,
      @Nullable Long frameCount,
      @Nullable OffsetDateTime startedAt,
      @Nullable Long timeReferenceSamples,
      List<String> channelNames,
      ReadBy readBy) {
    this(
        kind,
        container,
        codec,
        sampleForm,
        rateHz,
        bitsPerSample,
        channelCount,
        frameCount,
        timeReferenceSamples,
        channelNames,
        readBy,
        startedAt == null
            ? SourceOrigin.UNKNOWN
            : new SourceOrigin(Maker.UNKNOWN, List.of(StartClaims.container(startedAt))));
  }

  /** The same with another origin. */
  public SourceFacts withOrigin(SourceOrigin other) {
    return new SourceFacts(
        kind,
        container,
        codec,
        sampleForm,
        rateHz,
        bitsPerSample,
        channelCount,
        frameCount,
        timeReferenceSamples,
        channelNames,
        readBy,
        other);
  }

  /**
   * When the recording began, as the device's own clock showed it, by the best of the claims; null
   * if there is none to rely on. See {@link StartClaim#best}.
   */
  public @Nullable LocalDateTime startedAt() {
    return StartClaim.best(origin.startClaims()).map(StartClaim::local).orElse(null);
  }

  /** A clip comes from a camera or a phone, a recording from a sound recorder. */
  public enum Kind {
    CLIP,
    RECORDING
  }

  /** What a sample is before it becomes a float. */
  public enum SampleForm {
    /** Uncompressed or lossless whole numbers; {@link SourceReader#readIntegersAt} works. */
    INTEGER,
    /** Uncompressed IEEE floats. */
    FLOAT,
    /** The output of a lossy decoder; may exceed full scale. */
    LOSSY
  }

  /** Which of the two readers is at work. */
  public enum ReadBy {
    /** The default: the FFmpeg libraries, or our own reader for Wave files. */
    NATIVE,
    /** The pure-Java reader for machines where the native libraries do not load. */
    FALLBACK
  }
}
