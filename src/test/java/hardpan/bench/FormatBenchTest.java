package hardpan.bench;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** Holds docs/formats.md against what the readers do. */
class FormatBenchTest {
  private static final Path PAGE = Path.of("docs/formats.md");

  private static final int LATE = 4;
  private static final int LEVEL = 5;
  private static final int PICTURE = 7;
  private static final int ANY_PLACE = 8;
  private static final int FALLBACK = 9;

  private static String documented(String key) throws IOException {
    List<String> rows = Files.readAllLines(PAGE).stream().filter(r -> r.startsWith(key)).toList();
    assertEquals(1, rows.size(), key);
    return rows.get(0);
  }

  private static String cell(String row, int number) {
    return row.split("\\|", -1)[number].strip();
  }

  @ParameterizedTest
  @ValueSource(
      strings = {
        "| MOV | pcm_s24be | 48000 |",
        "| MOV | aac | 44100 |",
        "| MOV by hand | lpcm-24be | 48000 |",
        "| MP4 | ac3 | 48000 |",
        "| MP4 | pcm_s16be | 48000 |",
        "| MP4 by hand | he-aac | 48000 |",
        "| MP4 in fragments | aac | 48000 |",
        "| MP4 in fragments with edit list | aac | 48000 |",
        "| TS | aac | 48000 |",
        "| TS | ac3 | 48000 |",
        "| TS | mp2 | 48000 |",
        "| M2TS | pcm_bluray-24 | 96000 |",
        "| MXF | pcm_s24le | 48000 |",
        "| MKV | libopus | 48000 |",
        "| BW64 by hand | bw64-24 | 48000 |",
        "| AIFF and AIFC | pcm_s24be | 48000 |",
        "| FLAC | flac-24 | 96000 |",
        "| MP3 | libmp3lame | 44100 |",
      })
  void theTableSaysWhatTheReadersDo(String key, @TempDir Path dir) throws Exception {
    FormatCase format =
        FormatCase.all().stream().filter(c -> c.key().equals(key)).findFirst().orElseThrow();
    String told = documented(key);
    String measured = FormatBench.row(format, dir);
    assertEquals(cell(told, LATE), cell(measured, LATE), measured);
    assertEquals(cell(told, PICTURE), cell(measured, PICTURE), measured);
    assertEquals("same", cell(measured, ANY_PLACE), measured);
    boolean exact = cell(told, LEVEL).equals("bit for bit");
    assertEquals(exact, cell(measured, LEVEL).equals("bit for bit"), measured);
    boolean refused = cell(told, FALLBACK).startsWith("refused");
    assertEquals(refused, cell(measured, FALLBACK).startsWith("refused"), measured);
  }

  /** Late against the picture: only where the page says why. */
  @Test
  void cameraFormatsLieWithTheirPicture() throws Exception {
    for (FormatCase format : FormatCase.all()) {
      String row = documented(format.key());
      boolean camera = List.of("MOV", "MP4", "M4V", "TS", "M2TS", "MXF").contains(format.label());
      if (camera) {
        assertEquals("0", cell(row, PICTURE), row);
      }
      if (format.codec().startsWith("pcm_") || format.codec().startsWith("lpcm")) {
        assertEquals("0", cell(row, LATE), row);
        assertEquals("bit for bit", cell(row, LEVEL), row);
      }
      assertEquals("same", cell(row, ANY_PLACE), row);
    }
  }

  @Test
  void aPageWithoutMarksIsNotFilledIn() throws Exception {
    assertThrows(IOException.class, () -> FormatBench.withTable("no marks", "table"));
    String page = FormatBench.withTable(Files.readString(PAGE), "TABLE\n");
    assertTrue(page.contains("begin -->\nTABLE\n<!--"), page);
  }
}
