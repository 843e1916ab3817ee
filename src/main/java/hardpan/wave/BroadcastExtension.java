package hardpan.wave;

import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.charset.StandardCharsets;
import java.time.DateTimeException;
import java.time.LocalDate;
import java.time.LocalTime;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.jspecify.annotations.Nullable;

/**
 * The {@code bext} chunk of a Broadcast Wave file (EBU Tech 3285 v2, section 2.3).
 *
 * <p>Texts may be any text here. On writing they become ASCII, since the chunk allows nothing else,
 * and are cut at the size of their field.
 *
 * @param version 0, 1 or 2: which fields the file has. 0 has no identifier and no loudness, 1 no
 *     loudness
 * @param description free text, 256 characters; the first 64 should say it all
 * @param originator who made it, 32 characters
 * @param originatorReference unambiguous reference, 32 characters; see {@link UsidReference}
 * @param originationDate yyyy-mm-dd, or empty; a file may use another separator
 * @param originationTime hh-mm-ss, or empty; a file may use another separator
 * @param timeReferenceSamples samples from midnight to the first sample, at the file's own rate; at
 *     least 0
 * @param umid unique material identifier, or null
 * @param loudness loudness of the file; all null where unknown
 * @param codingHistory lines after EBU R 98, oldest first, or empty
 */
public record BroadcastExtension(
    int version,
    String description,
    String originator,
    String originatorReference,
    String originationDate,
    String originationTime,
    long timeReferenceSamples,
    @Nullable Umid umid,
    BextLoudness loudness,
    String codingHistory) {

  /** Bytes before the coding history. */
  public static final int FIXED_SIZE = 602;

  private static final Pattern DATE = Pattern.compile("([0-9]{4})[^0-9]([0-9]{2})[^0-9]([0-9]{2})");
  private static final Pattern TIME = Pattern.compile("([0-9]{2})[^0-9]([0-9]{2})[^0-9]([0-9]{2})");

  /** Checks the ranges. */
  public BroadcastExtension {
    if (version < 0 || version > 2 || timeReferenceSamples < 0) {
      throw new IllegalArgumentException(
          "bext version " + version + ", time reference " + timeReferenceSamples);
    }
  }

  /** Version 2 with these texts and nothing measured. */
  public static BroadcastExtension of(
      String description,
      String originator,
      String originatorReference,
      String originationDate,
      String originationTime,
      long timeReferenceSamples,
      @Nullable Umid umid,
      String codingHistory) {
    return new BroadcastExtension(
        2,
        description,
        originator,
        originatorReference,
        originationDate,
        originationTime,
        timeReferenceSamples,
        umid,
        BextLoudness.NONE,
        codingHistory);
  }

  /** The same as version 2 with another loudness; its encoded size does not change. */
  public BroadcastExtension withLoudness(BextLoudness measured) {
    return new BroadcastExtension(
        2,
        description,
        originator,
        originatorReference,
        originationDate,
        originationTime,
        timeReferenceSamples,
        umid,
        measured,
        codingHistory);
  }

  /** The origination date whatever its separator, or null if it is none. */
  public @Nullable LocalDate date() {
    Matcher match = DATE.matcher(originationDate);
    if (!match.matches()) {
      return null;
    }
    try {
      return LocalDate.of(number(match, 1), number(match, 2), number(match, 3));
    } catch (DateTimeException e) {
      return null;
    }
  }

  /** The origination time whatever its separator, or null if it is none. */
  public @Nullable LocalTime time() {
    Matcher match = TIME.matcher(originationTime);
    if (!match.matches()) {
      return null;
    }
    try {
      return LocalTime.of(number(match, 1), number(match, 2), number(match, 3));
    } catch (DateTimeException e) {
      return null;
    }
  }

  private static int number(Matcher match, int group) {
    return Integer.parseInt(match.group(group));
  }

  /** The chunk's payload, without header and pad byte. */
  public byte[] encode() {
    byte[] history = historyLines(codingHistory).getBytes(StandardCharsets.US_ASCII);
    ByteBuffer out =
        ByteBuffer.allocate(FIXED_SIZE + history.length).order(ByteOrder.LITTLE_ENDIAN);
    ChunkText.putField(out, description, 256);
    ChunkText.putField(out, originator, 32);
    ChunkText.putField(out, originatorReference, 32);
    ChunkText.putField(out, originationDate, 10);
    ChunkText.putField(out, originationTime, 8);
    out.putLong(timeReferenceSamples);
    out.putShort((short) version);
    if (version >= 1 && umid != null) {
      out.put(umid.bytes());
    }
    out.position(412);
    if (version >= 2) {
      out.putShort(BextLoudness.encodeLevel(loudness.integratedLufs()));
      out.putShort(BextLoudness.encodeRange(loudness.rangeLu()));
      out.putShort(BextLoudness.encodeLevel(loudness.maxTruePeakDbtp()));
      out.putShort(BextLoudness.encodeLevel(loudness.maxMomentaryLufs()));
      out.putShort(BextLoudness.encodeLevel(loudness.maxShortTermLufs()));
    }
    out.position(FIXED_SIZE);
    out.put(history);
    return out.array();
  }

  /** Every line ends with CR LF (EBU Tech 3285 v2, section 2.3). */
  private static String historyLines(String text) {
    String lines =
        ChunkText.toAscii(text).replace("\r\n", "\n").replace('\r', '\n').stripTrailing();
    return lines.isEmpty() ? "" : lines.replace("\n", "\r\n") + "\r\n";
  }

  /**
   * Reads a payload.
   *
   * @param payload at least {@link #FIXED_SIZE} bytes
   * @return what it says; an unknown later version is read as version 2, and a time reference with
   *     the top bit set, which no clock can mean, as 0
   * @throws IllegalArgumentException if the payload is too short
   */
  public static BroadcastExtension decode(byte[] payload) {
    if (payload.length < FIXED_SIZE) {
      throw new IllegalArgumentException(payload.length + " bytes of bext");
    }
    ByteBuffer in = ByteBuffer.wrap(payload).order(ByteOrder.LITTLE_ENDIAN);
    String description = ChunkText.field(in, 256);
    String originator = ChunkText.field(in, 32);
    String reference = ChunkText.field(in, 32);
    String date = ChunkText.field(in, 10);
    String time = ChunkText.field(in, 8);
    long timeReference = Math.max(0, in.getLong());
    int version = Math.min(2, Short.toUnsignedInt(in.getShort()));
    byte[] umidField = new byte[Umid.SIZE];
    in.get(umidField);
    BextLoudness loudness = BextLoudness.NONE;
    if (version >= 2) {
      loudness =
          new BextLoudness(
              BextLoudness.decodeLevel(in.getShort()),
              BextLoudness.decodeRange(in.getShort()),
              BextLoudness.decodeLevel(in.getShort()),
              BextLoudness.decodeLevel(in.getShort()),
              BextLoudness.decodeLevel(in.getShort()));
    }
    String history =
        ChunkText.zeroTerminated(payload, FIXED_SIZE, payload.length - FIXED_SIZE).stripTrailing();
    return new BroadcastExtension(
        version,
        description,
        originator,
        reference,
        date,
        time,
        timeReference,
        version >= 1 ? Umid.of(umidField) : null,
        loudness,
        history.replace("\r\n", "\n"));
  }
}
