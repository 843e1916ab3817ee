package hardpan.wave;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNull;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.charset.StandardCharsets;
import java.time.LocalDate;
import java.time.LocalTime;
import java.util.Arrays;
import java.util.UUID;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** EBU Tech 3285 v2, sections 1.1, 2.3 and 2.4. */
class BroadcastExtensionTest {
  private static final Umid UMID =
      Umid.basic(UUID.fromString("00112233-4455-6677-8899-aabbccddeeff"));

  private static BroadcastExtension sample(long timeReference, String history) {
    return BroadcastExtension.of(
            "describes",
            "maker",
            "reference",
            "2026-05-14",
            "19:20:21",
            timeReference,
            UMID,
            history)
        .withLoudness(new BextLoudness(-23.0, 5.25, -1.5, -18.0, -20.5));
  }

  private static String ascii(byte[] bytes, int from, int length) {
    return new String(bytes, from, length, StandardCharsets.US_ASCII);
  }

  /** Offsets are running sums of the sizes in section 2.3. */
  @Test
  void everyFieldLiesWhereTheStandardPutsIt() {
    byte[] bytes = sample(0x1_2345_6789L, "A=PCM,F=48000,W=24,M=mono,T=x").encode();
    ByteBuffer in = ByteBuffer.wrap(bytes).order(ByteOrder.LITTLE_ENDIAN);
    assertEquals("describes\0", ascii(bytes, 0, 10));
    assertEquals("maker\0", ascii(bytes, 256, 6));
    assertEquals("reference\0", ascii(bytes, 288, 10));
    assertEquals("2026-05-14", ascii(bytes, 320, 10));
    assertEquals("19:20:21", ascii(bytes, 330, 8));
    assertEquals(0x2345_6789, in.getInt(338));
    assertEquals(1, in.getInt(342));
    assertEquals(2, in.getShort(346));
    assertArrayEquals(UMID.bytes(), Arrays.copyOfRange(bytes, 348, 412));
    assertEquals(-2300, in.getShort(412));
    assertEquals(525, in.getShort(414));
    assertEquals(-150, in.getShort(416));
    assertEquals(-1800, in.getShort(418));
    assertEquals(-2050, in.getShort(420));
    assertArrayEquals(new byte[180], Arrays.copyOfRange(bytes, 422, 602));
    assertEquals("A=PCM,F=48000,W=24,M=mono,T=x\r\n", ascii(bytes, 602, bytes.length - 602));
  }

  @Test
  void comesBackAsItWas() {
    BroadcastExtension bext = sample(0x1_2345_6789L, "A=PCM,T=one\nA=PCM,T=two");
    assertEquals(bext, BroadcastExtension.decode(bext.encode()));
  }

  /** The worked values of section 2.4, and the ends of the valid ranges listed there. */
  @ParameterizedTest
  @CsvSource({
    "-22.644, F728",
    "-22.645, F727",
    "-22.646, F727",
    "12.764, 04FC",
    "12.765, 04FD",
    "12.766, 04FD",
    "-99.99, D8F1",
    "-0.01, FFFF",
    "0, 0000",
    "99.99, 270F",
    "-0.001, 0000",
    "100, 7FFF",
    "-100, 7FFF",
    "99.994, 270F",
    "99.995, 7FFF",
    "NaN, 7FFF",
    "-Infinity, 7FFF",
  })
  void levelsAreRoundedAwayFromZeroAtTies(double value, String hex) {
    assertEquals((short) Integer.parseInt(hex, 16), BextLoudness.encodeLevel(value));
  }

  @Test
  void whatIsNotMeasuredIsMarkedUnused() {
    assertEquals(0x7FFF, BextLoudness.encodeLevel(null));
    assertEquals(0x7FFF, BextLoudness.encodeRange(-0.01));
    byte[] bytes = sample(0, "").withLoudness(BextLoudness.NONE).encode();
    for (int at = 412; at < 422; at += 2) {
      assertEquals(0x7FFF, ByteBuffer.wrap(bytes).order(ByteOrder.LITTLE_ENDIAN).getShort(at));
    }
    assertEquals(BextLoudness.NONE, BroadcastExtension.decode(bytes).loudness());
  }

  /** On read, values outside the ranges of section 2.4 are ignored. */
  @ParameterizedTest
  @CsvSource({"7FFF,", "8000,", "2710,", "D8F0,", "D8F1, -99.99", "270F, 99.99", "F727, -22.65"})
  void levelsOutsideTheRangeAreIgnored(String hex, @Nullable Double value) {
    assertEquals(value, BextLoudness.decodeLevel((short) Integer.parseInt(hex, 16)));
  }

  /** Section 1.1: sizes never move, the version says which fields are there. */
  @Test
  void olderVersionsLackTheLaterFields() {
    byte[] bytes = sample(7, "").encode();
    bytes[346] = 1;
    BroadcastExtension one = BroadcastExtension.decode(bytes);
    assertEquals(UMID, one.umid());
    assertEquals(BextLoudness.NONE, one.loudness());
    bytes[346] = 0;
    BroadcastExtension zero = BroadcastExtension.decode(bytes);
    assertNull(zero.umid());
    assertEquals(7, zero.timeReferenceSamples());
    assertEquals(602, zero.encode().length);
    assertArrayEquals(new byte[254], Arrays.copyOfRange(zero.encode(), 348, 602));
    bytes[346] = 9;
    assertEquals(2, BroadcastExtension.decode(bytes).version());
  }

  @Test
  void anAllZeroIdentifierIsNone() {
    BroadcastExtension bext = BroadcastExtension.of("", "", "", "", "", 0, null, "");
    assertNull(BroadcastExtension.decode(bext.encode()).umid());
  }

  /** Section 2.3: ASCII only, fields cut at their size, filled exactly without a terminator. */
  @Test
  void textsBecomeAsciiAndAreCut() {
    BroadcastExtension bext =
        BroadcastExtension.of(
            "Zo\u00EB \u2013 Stra\u00DFe \u65E5" + "x".repeat(300),
            "\u0141\u00F3d\u017A Caf\u00E9 \u2019n".repeat(4),
            "r".repeat(40),
            "2026-05-14T",
            "19:20:21.5",
            0,
            null,
            "T=\u00E4\rT=b\n\n");
    BroadcastExtension back = BroadcastExtension.decode(bext.encode());
    assertTrue(back.description().startsWith("Zoe - Strasse ?xxx"), back.description());
    assertEquals(256, back.description().length());
    assertEquals("Lodz Cafe 'nLodz Cafe 'nLodz Caf", back.originator());
    assertEquals("r".repeat(32), back.originatorReference());
    assertEquals("2026-05-14", back.originationDate());
    assertEquals("19:20:21", back.originationTime());
    assertEquals("T=a\nT=b", back.codingHistory());
    byte[] bytes = bext.encode();
    for (int at = 0; at < bytes.length; at++) {
      assertTrue(bytes[at] >= 0 || (at >= 412 && at < 422), "byte " + at);
    }
  }

  /** Section 2.3 allows any separator. */
  @Test
  void datesAreReadWithAnySeparator() {
    for (String separator : new String[] {"-", "_", ":", " ", "."}) {
      BroadcastExtension bext =
          BroadcastExtension.of(
              "",
              "",
              "",
              String.join(separator, "2026", "05", "14"),
              String.join(separator, "19", "20", "21"),
              0,
              null,
              "");
      assertEquals(LocalDate.of(2026, 5, 14), bext.date());
      assertEquals(LocalTime.of(19, 20, 21), bext.time());
    }
    BroadcastExtension bad =
        BroadcastExtension.of("", "", "", "2026-13-14", "25:00:00", 0, null, "");
    assertNull(bad.date());
    assertNull(bad.time());
    assertNull(BroadcastExtension.of("", "", "", "", "", 0, null, "").date());
  }

  @Test
  void impossibleTimeReferenceReadsAsZero() {
    byte[] bytes = sample(0, "").encode();
    bytes[345] = (byte) 0x80;
    assertEquals(0, BroadcastExtension.decode(bytes).timeReferenceSamples());
    assertThrows(IllegalArgumentException.class, () -> BroadcastExtension.decode(new byte[601]));
  }

  /** SMPTE ST 330: label, length 0x13, instance 0, material number; last half zero. */
  @Test
  void basicUmidHasTheLabelAndTheMaterialNumber() {
    assertEquals(
        "060a2b340101010501010d0013000000" + "00112233445566778899aabbccddeeff" + "0".repeat(64),
        UMID.toString());
    assertEquals(UMID, Umid.of(UMID.bytes()));
    assertNull(Umid.of(new byte[64]));
  }

  /** EBU R 99: 2 + 3 + 12 + 6 + 9 characters. */
  @Test
  void usidReferenceHasItsFiveParts() {
    LocalTime time = LocalTime.of(9, 8, 7);
    String text = UsidReference.of("de", "hp", "field recorder no. 12345", time, 1).text();
    assertEquals(32, text.length());
    assertTrue(text.matches("DEHP0FIELDRECORDE090807[0-9]{9}"), text);
    assertEquals(text, UsidReference.of("de", "hp", "field recorder no. 1", time, 1).text());
    assertTrue(!text.equals(UsidReference.of("de", "hp", "field recorder", time, 2).text()));
  }
}
