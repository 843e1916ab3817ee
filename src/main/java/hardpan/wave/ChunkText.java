package hardpan.wave;

import java.nio.ByteBuffer;
import java.nio.charset.CharacterCodingException;
import java.nio.charset.Charset;
import java.nio.charset.StandardCharsets;
import java.text.Normalizer;
import java.util.Map;

/** Text as it stands in chunks: read tolerantly, written as the field allows. */
final class ChunkText {
  /** Letters and signs that a canonical decomposition leaves as they are. */
  private static final Map<Integer, String> PLAIN =
      Map.ofEntries(
          Map.entry(0xDF, "ss"),
          Map.entry(0xC6, "AE"),
          Map.entry(0xE6, "ae"),
          Map.entry(0x152, "OE"),
          Map.entry(0x153, "oe"),
          Map.entry(0xD8, "O"),
          Map.entry(0xF8, "o"),
          Map.entry(0x110, "D"),
          Map.entry(0x111, "d"),
          Map.entry(0xD0, "D"),
          Map.entry(0xF0, "d"),
          Map.entry(0xDE, "Th"),
          Map.entry(0xFE, "th"),
          Map.entry(0x141, "L"),
          Map.entry(0x142, "l"),
          Map.entry(0x131, "i"),
          Map.entry(0x2010, "-"),
          Map.entry(0x2011, "-"),
          Map.entry(0x2012, "-"),
          Map.entry(0x2013, "-"),
          Map.entry(0x2014, "-"),
          Map.entry(0x2212, "-"),
          Map.entry(0x2018, "'"),
          Map.entry(0x2019, "'"),
          Map.entry(0x201A, "'"),
          Map.entry(0x201C, "\""),
          Map.entry(0x201D, "\""),
          Map.entry(0x201E, "\""),
          Map.entry(0xAB, "\""),
          Map.entry(0xBB, "\""),
          Map.entry(0xD7, "x"),
          Map.entry(0x20AC, "EUR"));

  private ChunkText() {}

  /**
   * Text of printable ASCII, tab, CR and LF only, because EBU Tech 3285 allows nothing else in its
   * fields. Accents are dropped, a few letters spelled out, everything else becomes {@code ?}.
   */
  static String toAscii(String text) {
    StringBuilder plain = new StringBuilder(text.length());
    Normalizer.normalize(text, Normalizer.Form.NFKD)
        .codePoints()
        .forEach(
            point -> {
              boolean breaks = point == '\t' || point == '\r' || point == '\n';
              if ((point >= 0x20 && point < 0x7F) || breaks) {
                plain.append((char) point);
              } else if (!isMark(point) && !Character.isISOControl(point)) {
                plain.append(PLAIN.getOrDefault(point, "?"));
              }
            });
    return plain.toString();
  }

  private static boolean isMark(int point) {
    int type = Character.getType(point);
    return type == Character.NON_SPACING_MARK
        || type == Character.COMBINING_SPACING_MARK
        || type == Character.ENCLOSING_MARK;
  }

  /** Writes ASCII text into a field, cut at the field's end and filled with zeros. */
  static void putField(ByteBuffer out, String text, int size) {
    byte[] field = new byte[size];
    byte[] ascii = toAscii(text).getBytes(StandardCharsets.US_ASCII);
    System.arraycopy(ascii, 0, field, 0, Math.min(size, ascii.length));
    out.put(field);
  }

  /** Reads a field: up to its first zero byte, without trailing blanks. */
  static String field(ByteBuffer in, int size) {
    byte[] bytes = new byte[Math.min(size, in.remaining())];
    in.get(bytes);
    return zeroTerminated(bytes, 0, bytes.length);
  }

  /** Text up to the first zero byte, without trailing blanks. */
  static String zeroTerminated(byte[] bytes, int from, int length) {
    int end = from;
    while (end < from + length && bytes[end] != 0) {
      end++;
    }
    return decode(bytes, from, end - from).stripTrailing();
  }

  /** UTF-8 where the bytes are valid UTF-8, else Latin-1, which accepts anything. */
  static String decode(byte[] bytes, int from, int length) {
    return decode(ByteBuffer.wrap(bytes, from, length), StandardCharsets.UTF_8);
  }

  /** XML text of an iXML chunk: a byte order mark decides, trailing zeros and blanks go. */
  static String xml(byte[] bytes) {
    Charset charset = StandardCharsets.UTF_8;
    int from = 0;
    if (startsWith(bytes, 0xEF, 0xBB, 0xBF)) {
      from = 3;
    } else if (startsWith(bytes, 0xFE, 0xFF)) {
      charset = StandardCharsets.UTF_16BE;
      from = 2;
    } else if (startsWith(bytes, 0xFF, 0xFE)) {
      charset = StandardCharsets.UTF_16LE;
      from = 2;
    }
    String text = decode(ByteBuffer.wrap(bytes, from, bytes.length - from), charset);
    int end = text.length();
    while (end > 0 && text.charAt(end - 1) <= ' ') {
      end--;
    }
    return text.substring(0, end).stripLeading();
  }

  private static String decode(ByteBuffer bytes, Charset charset) {
    try {
      return charset.newDecoder().decode(bytes.duplicate()).toString();
    } catch (CharacterCodingException e) {
      return StandardCharsets.ISO_8859_1.decode(bytes).toString();
    }
  }

  private static boolean startsWith(byte[] bytes, int... mark) {
    for (int i = 0; i < mark.length; i++) {
      if (i >= bytes.length || (bytes[i] & 0xFF) != mark[i]) {
        return false;
      }
    }
    return true;
  }

  /** Four characters of an id. The caller knows that they are ASCII. */
  static String id(ByteBuffer in) {
    byte[] bytes = new byte[4];
    in.get(bytes);
    return new String(bytes, StandardCharsets.ISO_8859_1);
  }

  /** Writes the four characters of an id. */
  static void putId(ByteBuffer out, String id) {
    out.put(id.getBytes(StandardCharsets.US_ASCII));
  }
}
