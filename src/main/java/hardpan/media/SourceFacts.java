package hardpan.media;

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
 * @param startedAt when the recording began by the device's own clock, if the file says so
 * @param timeReferenceSamples {@code bext} samples since midnight, if the file has it
 * @param channelNames one name a channel where the file names them, else empty strings
 * @param readBy which reader delivers the samples
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
    @Nullable OffsetDateTime startedAt,
    @Nullable Long timeReferenceSamples,
    List<String> channelNames,
    ReadBy readBy) {

  /** Copies the list. */
  public SourceFacts {
    channelNames = List.copyOf(channelNames);
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
