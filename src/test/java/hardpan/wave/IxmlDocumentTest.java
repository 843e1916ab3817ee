package hardpan.wave;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertNull;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.StringReader;
import java.time.Duration;
import java.util.List;
import javax.xml.parsers.DocumentBuilderFactory;
import org.junit.jupiter.api.Assertions;
import org.junit.jupiter.api.Test;
import org.w3c.dom.Document;
import org.xml.sax.InputSource;

/** iXML specification 3.01; element names from its object details. */
class IxmlDocumentTest {
  private static final long LATE = 86_399L * 192_000;

  private static IxmlDocument full() {
    return new IxmlDocument(
        "Harbour <& \"quay\"> \u2019",
        "12B",
        "3",
        "2026-05-14",
        "two\nlines",
        "b1f2c6d0",
        new IxmlDocument.Speed("30000/1001", true, 192_000, 24, 192_000, LATE, 192_000),
        new IxmlDocument.History("a.wav", "A003.mov", "77"),
        new IxmlDocument.FileSet(2, "5d0e", "12B/3", "1"),
        List.of(
            new IxmlDocument.Track(1, 1, "Boom", ""),
            new IxmlDocument.Track(2, 2, "Jos\u00E9", "R-MIX")));
  }

  @Test
  void comesBackAsItWas() {
    assertEquals(new IxmlDocument.Parsed(full(), List.of()), IxmlDocument.parse(full().toXml()));
    assertEquals(IxmlDocument.EMPTY, IxmlDocument.parse(IxmlDocument.EMPTY.toXml()).document());
  }

  /** Read by the JDK's own DOM parser, which has no part in our reader. */
  @Test
  void elementsAreThoseOfTheSpecification() throws Exception {
    Document dom =
        DocumentBuilderFactory.newInstance()
            .newDocumentBuilder()
            .parse(new InputSource(new StringReader(full().toXml())));
    assertEquals("BWFXML", dom.getDocumentElement().getTagName());
    assertEquals("3.01", text(dom, "IXML_VERSION"));
    assertEquals("Harbour <& \"quay\"> \u2019", text(dom, "PROJECT"));
    assertEquals("30000/1001", text(dom, "TIMECODE_RATE"));
    assertEquals("DF", text(dom, "TIMECODE_FLAG"));
    assertEquals("" + (LATE >> 32), text(dom, "TIMESTAMP_SAMPLES_SINCE_MIDNIGHT_HI"));
    assertEquals("" + (LATE & 0xFFFFFFFFL), text(dom, "TIMESTAMP_SAMPLES_SINCE_MIDNIGHT_LO"));
    assertTrue(LATE >> 32 > 0);
    assertEquals("2", text(dom, "TRACK_COUNT"));
    assertEquals(2, dom.getElementsByTagName("TRACK").getLength());
  }

  private static String text(Document dom, String name) {
    return dom.getElementsByTagName(name).item(0).getTextContent();
  }

  /** XML 1.0, section 2.2. */
  @Test
  void charactersThatXmlForbidsAreLeftOut() {
    IxmlDocument document =
        new IxmlDocument(
            "a\u0000b\u0007c\uD800d\uFFFEe\uD83C\uDFA4",
            "",
            "",
            "",
            "\u0001",
            "",
            null,
            null,
            null,
            List.of());
    IxmlDocument.Parsed back = IxmlDocument.parse(document.toXml());
    assertEquals(List.of(), back.oddities());
    assertEquals("abcde\uD83C\uDFA4", back.document().project());
    assertFalse(document.toXml().contains("NOTE"));
  }

  @Test
  void absentAndUnknownElementsAreFine() {
    IxmlDocument document =
        IxmlDocument.parse(
                "<BWFXML><NEW><TAKE>9</TAKE></NEW><SPEED><NOTE>fast</NOTE></SPEED>"
                    + "<TRACK_LIST><TRACK><NAME>a</NAME></TRACK><TRACK/></TRACK_LIST></BWFXML>")
            .document();
    assertEquals("", document.take());
    assertEquals("", document.note());
    IxmlDocument.Speed speed = document.speed();
    assertNotNull(speed);
    assertNull(speed.timestampSamples());
    assertEquals(
        List.of(new IxmlDocument.Track(0, 0, "a", ""), new IxmlDocument.Track(0, 0, "", "")),
        document.tracks());
  }

  @Test
  void nonsenseNumbersAreAbsent() {
    IxmlDocument document =
        IxmlDocument.parse(
                "<BWFXML><SPEED><FILE_SAMPLE_RATE>-5</FILE_SAMPLE_RATE>"
                    + "<TIMESTAMP_SAMPLES_SINCE_MIDNIGHT_HI>4294967295"
                    + "</TIMESTAMP_SAMPLES_SINCE_MIDNIGHT_HI>"
                    + "<TIMESTAMP_SAMPLES_SINCE_MIDNIGHT_LO>1</TIMESTAMP_SAMPLES_SINCE_MIDNIGHT_LO>"
                    + "</SPEED><FILE_SET><TOTAL_FILES>99999999999999999999</TOTAL_FILES></FILE_SET>"
                    + "</BWFXML>")
            .document();
    IxmlDocument.Speed speed = document.speed();
    assertNotNull(speed);
    assertNull(speed.fileRateHz());
    assertNull(speed.timestampSamples());
    IxmlDocument.FileSet set = document.fileSet();
    assertNotNull(set);
    assertNull(set.totalFiles());
  }

  @Test
  void malformedTextGivesAnEmptyDocumentAndASentence() {
    for (String text :
        List.of("", "<", "<BWFXML>", "<BWFXML><TAKE>1</BWFXML>", "nothing", "<a>&b;</a>")) {
      IxmlDocument.Parsed parsed = IxmlDocument.parse(text);
      assertEquals(IxmlDocument.EMPTY, parsed.document(), text);
      assertEquals(1, parsed.oddities().size(), text);
    }
  }

  @Test
  void documentTypesAndEntitiesAreRefused() {
    for (String type :
        List.of(
            "<!DOCTYPE BWFXML [<!ENTITY x SYSTEM \"file:///etc/passwd\">]>",
            "<!DOCTYPE BWFXML SYSTEM \"file:///nowhere\">",
            "<!DOCTYPE BWFXML [<!ENTITY x \"boom\">]>")) {
      IxmlDocument.Parsed parsed = IxmlDocument.parse(type + "<BWFXML><NOTE>&x;</NOTE></BWFXML>");
      assertEquals(IxmlDocument.EMPTY, parsed.document());
      assertEquals(1, parsed.oddities().size());
    }
  }

  @Test
  void hostileShapesCostNeitherStackNorTime() {
    String deep = "<BWFXML>".repeat(100_000);
    String wide = "<BWFXML>" + ("<" + "N".repeat(900) + ">").repeat(50) + "<a/>".repeat(200_000);
    String tracks = "<BWFXML><TRACK_LIST>" + "<TRACK/>".repeat(200_000) + "</TRACK_LIST></BWFXML>";
    Assertions.assertTimeoutPreemptively(
        Duration.ofSeconds(20),
        () -> {
          assertEquals(1, IxmlDocument.parse(deep).oddities().size());
          assertEquals(1, IxmlDocument.parse(wide).oddities().size());
          assertEquals(4096, IxmlDocument.parse(tracks).document().tracks().size());
        });
  }
}
