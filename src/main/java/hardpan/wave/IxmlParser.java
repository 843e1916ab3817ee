package hardpan.wave;

import java.io.IOException;
import java.io.StringReader;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import javax.xml.XMLConstants;
import javax.xml.parsers.ParserConfigurationException;
import javax.xml.parsers.SAXParserFactory;
import org.jspecify.annotations.Nullable;
import org.xml.sax.Attributes;
import org.xml.sax.InputSource;
import org.xml.sax.SAXException;
import org.xml.sax.SAXParseException;
import org.xml.sax.helpers.DefaultHandler;

/**
 * Reads the text of an iXML chunk event by event, so that hostile nesting costs no stack. Unknown
 * elements are passed over, as the specification asks. Document types are refused, which rules out
 * entities of any kind.
 */
final class IxmlParser extends DefaultHandler {
  private static final int MAX_DEPTH = 64;
  private static final int MAX_TEXT = 1 << 16;
  private static final int MAX_TRACKS = 4096;
  private static final int MAX_VALUES = 1000;

  /** No path we read is longer; longer ones are never looked at, whatever a document nests. */
  private static final int LONGEST_PATH = 80;

  private static final String ROOT = "/BWFXML";
  private static final String TRACK = ROOT + "/TRACK_LIST/TRACK";

  /** First value of each known element, by its path. */
  private final Map<String, String> values = new HashMap<>();

  /** The same for the track being read. */
  private final Map<String, String> trackValues = new HashMap<>();

  private final List<IxmlDocument.Track> tracks = new ArrayList<>();
  private final StringBuilder text = new StringBuilder();
  private final List<Integer> pathLengths = new ArrayList<>();
  private final StringBuilder path = new StringBuilder();

  private IxmlParser() {}

  static IxmlDocument.Parsed parse(String xml) {
    IxmlParser parser = new IxmlParser();
    try {
      SAXParserFactory factory = SAXParserFactory.newDefaultInstance();
      factory.setFeature(XMLConstants.FEATURE_SECURE_PROCESSING, true);
      factory.setFeature("http://apache.org/xml/features/disallow-doctype-decl", true);
      factory.setFeature("http://xml.org/sax/features/external-general-entities", false);
      factory.setFeature("http://xml.org/sax/features/external-parameter-entities", false);
      factory.newSAXParser().parse(new InputSource(new StringReader(xml)), parser);
    } catch (SAXException e) {
      return new IxmlDocument.Parsed(
          IxmlDocument.EMPTY,
          List.of("The iXML chunk is not well-formed and is not used: " + where(e)));
    } catch (IOException | ParserConfigurationException e) {
      throw new IllegalStateException("the JDK's XML parser", e);
    }
    return new IxmlDocument.Parsed(parser.document(), List.of());
  }

  private static String where(SAXException e) {
    return e instanceof SAXParseException place
        ? "line " + place.getLineNumber() + ", column " + place.getColumnNumber() + "."
        : e.getMessage() + ".";
  }

  @Override
  public void startElement(String uri, String local, String name, Attributes attributes)
      throws SAXException {
    if (pathLengths.size() == MAX_DEPTH) {
      throw new SAXException("elements are nested too deeply");
    }
    pathLengths.add(path.length());
    path.append('/').append(name);
    text.setLength(0);
    if (path.length() == TRACK.length() && path.toString().equals(TRACK)) {
      trackValues.clear();
    }
  }

  @Override
  public void characters(char[] chars, int start, int length) {
    text.append(chars, start, Math.min(length, MAX_TEXT - text.length()));
  }

  @Override
  public void endElement(String uri, String local, String name) {
    String here = path.length() <= LONGEST_PATH ? path.toString() : "";
    if (here.equals(TRACK)) {
      if (tracks.size() < MAX_TRACKS) {
        tracks.add(
            new IxmlDocument.Track(
                index(number(TRACK + "/CHANNEL_INDEX")),
                index(number(TRACK + "/INTERLEAVE_INDEX")),
                value(TRACK + "/NAME"),
                value(TRACK + "/FUNCTION")));
      }
    } else if (here.startsWith(ROOT + "/")) {
      Map<String, String> into = here.startsWith(TRACK + "/") ? trackValues : values;
      if (into.size() < MAX_VALUES) {
        into.putIfAbsent(here, text.toString().strip());
      }
    }
    text.setLength(0);
    path.setLength(pathLengths.remove(pathLengths.size() - 1));
  }

  private String value(String key) {
    Map<String, String> from = key.startsWith(TRACK + "/") ? trackValues : values;
    return from.getOrDefault(key, "");
  }

  private static int index(@Nullable Long number) {
    return number == null || number < 0 || number > Integer.MAX_VALUE ? 0 : number.intValue();
  }

  private @Nullable Long number(String key) {
    String digits = value(key);
    return digits.matches("[0-9]{1,18}") ? Long.valueOf(digits) : null;
  }

  private @Nullable Integer positive(String key) {
    int value = index(number(key));
    return value == 0 ? null : value;
  }

  private IxmlDocument document() {
    return new IxmlDocument(
        value(ROOT + "/PROJECT"),
        value(ROOT + "/SCENE"),
        value(ROOT + "/TAKE"),
        value(ROOT + "/TAPE"),
        value(ROOT + "/NOTE"),
        value(ROOT + "/FILE_UID"),
        has("/SPEED") ? speed() : null,
        has("/HISTORY")
            ? new IxmlDocument.History(
                value(ROOT + "/HISTORY/ORIGINAL_FILENAME"),
                value(ROOT + "/HISTORY/PARENT_FILENAME"),
                value(ROOT + "/HISTORY/PARENT_UID"))
            : null,
        has("/FILE_SET")
            ? new IxmlDocument.FileSet(
                positive(ROOT + "/FILE_SET/TOTAL_FILES"),
                value(ROOT + "/FILE_SET/FAMILY_UID"),
                value(ROOT + "/FILE_SET/FAMILY_NAME"),
                value(ROOT + "/FILE_SET/FILE_SET_INDEX"))
            : null,
        tracks);
  }

  private boolean has(String object) {
    return values.containsKey(ROOT + object);
  }

  private IxmlDocument.Speed speed() {
    String in = ROOT + "/SPEED/";
    Long high = number(in + "TIMESTAMP_SAMPLES_SINCE_MIDNIGHT_HI");
    Long low = number(in + "TIMESTAMP_SAMPLES_SINCE_MIDNIGHT_LO");
    Long samples = null;
    if (low != null && low <= 0xFFFF_FFFFL) {
      long upper = high == null ? 0 : high;
      samples = upper <= Integer.MAX_VALUE ? upper << 32 | low : null;
    }
    // Some writers spell the flag with a trailing S.
    boolean dropFrame =
        value(in + "TIMECODE_FLAG").equals("DF") || value(in + "TIMECODE_FLAGS").equals("DF");
    return new IxmlDocument.Speed(
        value(in + "TIMECODE_RATE"),
        dropFrame,
        positive(in + "FILE_SAMPLE_RATE"),
        positive(in + "AUDIO_BIT_DEPTH"),
        positive(in + "DIGITIZER_SAMPLE_RATE"),
        samples,
        positive(in + "TIMESTAMP_SAMPLE_RATE"));
  }
}
