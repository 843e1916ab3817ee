package hardpan.demo;

import com.fasterxml.jackson.annotation.JsonPropertyOrder;
import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.core.util.DefaultIndenter;
import com.fasterxml.jackson.core.util.DefaultPrettyPrinter;
import com.fasterxml.jackson.databind.DeserializationFeature;
import com.fasterxml.jackson.databind.ObjectMapper;
import hardpan.base.MalformedMediaException;
import hardpan.base.MediaAccessException;
import hardpan.base.MediaException;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * What is true about a made shoot, in the words of the report.
 *
 * @param format always {@value #FORMAT}
 * @param formatVersion always {@value #FORMAT_VERSION}
 * @param shoot name of the shoot's folder
 * @param makerVersion version of the generator this truth belongs to
 * @param seed the seed everything random came from
 * @param reference path of the reference recording
 * @param rule how offset and drift are meant
 * @param sources every file, in path order
 */
@JsonPropertyOrder({
  "format",
  "formatVersion",
  "shoot",
  "makerVersion",
  "seed",
  "reference",
  "rule",
  "sources"
})
public record DemoTruth(
    String format,
    int formatVersion,
    String shoot,
    int makerVersion,
    long seed,
    String reference,
    String rule,
    List<SourceTruth> sources) {
  /** The word in {@code format}. */
  public static final String FORMAT = "hardpan-demo-truth";

  /** The number in {@code formatVersion}. */
  public static final int FORMAT_VERSION = 1;

  private static final long MOST_BYTES = 1 << 20;

  /** Copies the list. */
  public DemoTruth {
    sources = List.copyOf(sources);
  }

  /**
   * One file.
   *
   * @param path relative to the media folder, with {@code /}
   * @param device the device that made it
   * @param kind {@code clip} or {@code recording}
   * @param rateHz sample rate
   * @param durationSeconds by the clip's own clock; a decoder may deliver a little more silence
   * @param pair expected pair verdict; null where the report has none
   * @param placement expected placement; null for the reference
   * @param channels one for each channel
   * @param story what happened, for people
   */
  @JsonPropertyOrder({
    "path",
    "device",
    "kind",
    "rateHz",
    "durationSeconds",
    "pair",
    "placement",
    "channels",
    "story"
  })
  public record SourceTruth(
      String path,
      String device,
      String kind,
      int rateHz,
      double durationSeconds,
      @Nullable String pair,
      @Nullable PlacementTruth placement,
      List<ChannelTruth> channels,
      String story) {
    /** Copies the list. */
    public SourceTruth {
      channels = List.copyOf(channels);
    }
  }

  /**
   * Where a clip belongs.
   *
   * @param state {@code placed} or {@code unplaced}
   * @param offsetSeconds reference second at which the clip's first decoded sample lies, by sound;
   *     null if unplaced
   * @param driftPpm by how much the clip's seconds are longer than the reference's; null if
   *     unplaced
   * @param inverted whether the clip is upside down against the reference; null if unplaced, or if
   *     one side is upright and the other is not
   * @param directFeed whether the clip got its sound by wire
   * @param toleranceMs largest error to accept anywhere in the clip; null if unplaced
   * @param flightMetres how far the sound flew before the clip's microphones; already in {@code
   *     offsetSeconds}; 0 for a wire
   */
  @JsonPropertyOrder({
    "state",
    "offsetSeconds",
    "driftPpm",
    "inverted",
    "directFeed",
    "toleranceMs",
    "flightMetres"
  })
  public record PlacementTruth(
      String state,
      @Nullable Double offsetSeconds,
      @Nullable Double driftPpm,
      @Nullable Boolean inverted,
      boolean directFeed,
      @Nullable Double toleranceMs,
      @Nullable Double flightMetres) {}

  /**
   * One channel.
   *
   * @param index from 0
   * @param hears what is on it, for people
   * @param overload expected overload verdict
   * @param excessDb loudest peak the input was given, over the level at which it clipped; null if
   *     nothing clipped
   * @param cleanCopy {@code path#channel} of the undamaged twin in the reference, channel from 0;
   *     null if none
   */
  @JsonPropertyOrder({"index", "hears", "overload", "excessDb", "cleanCopy"})
  public record ChannelTruth(
      int index,
      String hears,
      String overload,
      @Nullable Double excessDb,
      @Nullable String cleanCopy) {}

  /** The truth as JSON text, UTF-8, line feeds, the same characters on every system. */
  public String toJson() {
    DefaultIndenter indenter = new DefaultIndenter("  ", "\n");
    DefaultPrettyPrinter printer =
        new DefaultPrettyPrinter().withObjectIndenter(indenter).withArrayIndenter(indenter);
    try {
      return new ObjectMapper().writer(printer).writeValueAsString(this) + "\n";
    } catch (JsonProcessingException e) {
      throw new IllegalStateException("records of numbers and text always write", e);
    }
  }

  /**
   * Reads a truth file.
   *
   * @throws MediaAccessException if it cannot be read
   * @throws MalformedMediaException if it is no truth file of this version
   */
  public static DemoTruth read(Path file) throws MediaException {
    try {
      if (Files.size(file) > MOST_BYTES) {
        throw new MalformedMediaException(file.getFileName() + " is too big for a truth file.");
      }
      DemoTruth truth =
          new ObjectMapper()
              .enable(DeserializationFeature.FAIL_ON_NULL_FOR_PRIMITIVES)
              .readValue(Files.readString(file), DemoTruth.class);
      if (!FORMAT.equals(truth.format()) || truth.formatVersion() != FORMAT_VERSION) {
        throw new MalformedMediaException(
            file.getFileName() + " is not a demo truth file of version " + FORMAT_VERSION + ".");
      }
      return truth;
    } catch (JsonProcessingException e) {
      throw new MalformedMediaException(
          file.getFileName() + " is not a readable demo truth file.", e);
    } catch (MediaException e) {
      throw e;
    } catch (IOException e) {
      throw new MediaAccessException(file + " could not be read.", e);
    }
  }
}
