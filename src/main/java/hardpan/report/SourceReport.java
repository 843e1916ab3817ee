package hardpan.report;

import java.time.OffsetDateTime;
import java.util.List;
import java.util.Objects;
import org.jspecify.annotations.Nullable;

/**
 * One media file. Of a file that cannot be read only path, kind, device and error may be known; the
 * rest is null or empty then.
 *
 * @param path relative to the given folder, '/' separators
 * @param kind clip or recording
 * @param container short lower-case name such as {@code mov}
 * @param codec short lower-case name such as {@code pcm_s16le}
 * @param sampleRateHz sample rate
 * @param bitsPerSample valid bits of an uncompressed sample; null for lossy codecs
 * @param channelCount number of channels
 * @param frameCount decoded length in frames, after edit lists
 * @param durationSeconds the same in seconds of the source's own clock
 * @param startedAt when it began by the device's own clock, by the best of the claims
 * @param startClaims everything that is said about its start, the chosen one first
 * @param timeReferenceSamples samples since midnight, if the file says so ({@code bext})
 * @param device sources of one device share one clock
 * @param run the uninterrupted recording this file is a part of
 * @param runPart 1 is the run's first file
 * @param reader which of the two readers delivered the samples
 * @param error why it could not be read, or null
 * @param pair how left and right relate; null unless there are exactly two channels
 * @param channels one entry a channel; empty if it could not be read
 * @param placement where it sits on the reference; null for the reference itself, for a file that
 *     cannot be read, and where nothing was lined up
 */
public record SourceReport(
    String path,
    Kind kind,
    @Nullable String container,
    @Nullable String codec,
    @Nullable Integer sampleRateHz,
    @Nullable Integer bitsPerSample,
    @Nullable Integer channelCount,
    @Nullable Long frameCount,
    @Nullable Double durationSeconds,
    @Nullable Moment startedAt,
    List<StartClaimReport> startClaims,
    @Nullable Long timeReferenceSamples,
    @Nullable String device,
    @Nullable String run,
    @Nullable Integer runPart,
    @Nullable Reader reader,
    @Nullable ErrorReport error,
    @Nullable PairReport pair,
    List<ChannelReport> channels,
    @Nullable PlacementReport placement) {
  /** Checks, rounds and copies. */
  public SourceReport {
    Numbers.notEmpty(path, "a source's path");
    Objects.requireNonNull(kind, "kind");
    Numbers.positiveOrNull(sampleRateHz, "sampleRateHz");
    Numbers.positiveOrNull(bitsPerSample, "bitsPerSample");
    Numbers.positiveOrNull(channelCount, "channelCount");
    Numbers.notNegativeOrNull(frameCount, "frameCount");
    Numbers.notNegativeOrNull(timeReferenceSamples, "timeReferenceSamples");
    Numbers.positiveOrNull(runPart, "runPart");
    durationSeconds = Numbers.notNegativeOrNull(durationSeconds, Numbers.SECOND, "durationSeconds");
    channels = List.copyOf(channels);
    // Reports of earlier releases lack them.
    startClaims = startClaims == null ? List.of() : List.copyOf(startClaims);
  }

  /** A source without claims about its start. */
  public SourceReport(
      String path,
      Kind kind,
      @Nullable String container,
      @Nullable String codec,
      @Nullable Integer sampleRateHz,
      @Nullable Integer bitsPerSample,
      @Nullable Integer channelCount,
      @Nullable Long frameCount,
      @Nullable Double durationSeconds,
      @Nullable OffsetDateTime startedAt,
      @Nullable Long timeReferenceSamples,
      @Nullable String device,
      @Nullable String run,
      @Nullable Integer runPart,
      @Nullable Reader reader,
      @Nullable ErrorReport error,
      @Nullable PairReport pair,
      List<ChannelReport> channels,
      @Nullable PlacementReport placement) {
    this(
        path,
        kind,
        container,
        codec,
        sampleRateHz,
        bitsPerSample,
        channelCount,
        frameCount,
        durationSeconds,
        startedAt == null ? null : Moment.of(startedAt),
        List.of(),
        timeReferenceSamples,
        device,
        run,
        runPart,
        reader,
        error,
        pair,
        channels,
        placement);
  }

  /** The same with claims about its start. */
  public SourceReport withStart(@Nullable Moment start, List<StartClaimReport> claims) {
    return new SourceReport(
        path,
        kind,
        container,
        codec,
        sampleRateHz,
        bitsPerSample,
        channelCount,
        frameCount,
        durationSeconds,
        start,
        claims,
        timeReferenceSamples,
        device,
        run,
        runPart,
        reader,
        error,
        pair,
        channels,
        placement);
  }

  /** A file that could not be read. */
  public static SourceReport unreadable(
      String path, Kind kind, @Nullable String device, ErrorReport error) {
    return new SourceReport(
        path, kind, null, null, null, null, null, null, null, null, null, device, null, null, null,
        error, null, List.of(), null);
  }

  /** A clip comes from a camera or a phone, a recording from a recorder. */
  public enum Kind implements Word {
    /** From a camera or a phone. */
    CLIP,
    /** From a recorder. */
    RECORDING
  }

  /** Which reader delivered the samples. */
  public enum Reader implements Word {
    /** The FFmpeg libraries, or Hardpan's own reader for Wave files. */
    NATIVE,
    /** The pure-Java reader, used where the native libraries do not load. */
    FALLBACK
  }
}
