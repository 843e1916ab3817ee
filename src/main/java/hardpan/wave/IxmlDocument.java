package hardpan.wave;

import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * What Hardpan reads from and writes to an iXML chunk (iXML specification 3.01). Every element is
 * optional in the standard; here an empty text or null means that it is absent.
 *
 * @param project production name
 * @param scene scene or slate
 * @param take take, normally a number
 * @param tape sound roll
 * @param note free note
 * @param fileUid unique identifier of this physical file
 * @param speed rates and time stamp, or null
 * @param history where the file comes from, or null
 * @param fileSet the set of files it belongs to, or null
 * @param tracks one entry a channel
 */
public record IxmlDocument(
    String project,
    String scene,
    String take,
    String tape,
    String note,
    String fileUid,
    @Nullable Speed speed,
    @Nullable History history,
    @Nullable FileSet fileSet,
    List<Track> tracks) {

  /** Nothing at all. */
  public static final IxmlDocument EMPTY =
      new IxmlDocument("", "", "", "", "", "", null, null, null, List.of());

  /** The version of the specification that {@link #toXml} follows. */
  public static final String VERSION = "3.01";

  /**
   * The SPEED object. The {@code fmt} and {@code bext} chunks win over it where they disagree.
   *
   * @param timecodeRate frames a second as a fraction, {@code 25/1} or {@code 30000/1001}, or empty
   * @param dropFrame whether timecode is counted drop-frame
   * @param fileRateHz sample rate of the file, or null
   * @param bitDepth bits a sample, or null
   * @param digitizerRateHz true rate of the converter, or null
   * @param timestampSamples samples since midnight, the {@code bext} time reference, or null
   * @param timestampRateHz rate to turn the time stamp into time, or null
   */
  public record Speed(
      String timecodeRate,
      boolean dropFrame,
      @Nullable Integer fileRateHz,
      @Nullable Integer bitDepth,
      @Nullable Integer digitizerRateHz,
      @Nullable Long timestampSamples,
      @Nullable Integer timestampRateHz) {}

  /**
   * The HISTORY object.
   *
   * @param originalFileName the file's name when it was made, or empty
   * @param parentFileName the name of the file it was made from, or empty
   * @param parentUid the identifier of that file, or empty
   */
  public record History(String originalFileName, String parentFileName, String parentUid) {}

  /**
   * The FILE_SET object.
   *
   * @param totalFiles how many files the set has, or null
   * @param familyUid the same text in each of them, or empty
   * @param familyName a name for people, or empty
   * @param index this file's place in the set, or empty
   */
  public record FileSet(
      @Nullable Integer totalFiles, String familyUid, String familyName, String index) {}

  /**
   * One TRACK.
   *
   * @param channelIndex the source's channel number, from 1; 0 if absent
   * @param interleaveIndex the channel's place in this file, from 1; 0 if absent
   * @param name what the channel carries
   * @param function a word of the specification's function dictionary, or empty; separate
   *     microphones have none
   */
  public record Track(int channelIndex, int interleaveIndex, String name, String function) {}

  /**
   * What came out of reading.
   *
   * @param document what could be read; {@link #EMPTY} for a text that is not well-formed
   * @param oddities what was wrong, one sentence each
   */
  public record Parsed(IxmlDocument document, List<String> oddities) {
    /** Copies the list. */
    public Parsed {
      oddities = List.copyOf(oddities);
    }
  }

  /** Copies the list. */
  public IxmlDocument {
    tracks = List.copyOf(tracks);
  }

  /** The chunk's text, UTF-8 declared, with characters that XML forbids left out. */
  public String toXml() {
    return IxmlWriter.write(this);
  }

  /**
   * Reads a chunk's text. Never fails: what is not well-formed gives an empty document and a
   * sentence. Document types and external entities are refused.
   */
  public static Parsed parse(String xml) {
    return IxmlParser.parse(xml);
  }
}
