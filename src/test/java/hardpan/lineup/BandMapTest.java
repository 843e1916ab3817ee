package hardpan.lineup;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;

import hardpan.base.MediaAccessException;
import hardpan.signal.BandEnergies;
import hardpan.signal.TestSounds;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class BandMapTest {
  @Test
  void framesComeBackFromAnywhereAndOutsideIsTheLowestValue(@TempDir Path folder) throws Exception {
    float[] talk = TestSounds.talk(1, 3, 16_000);
    BandMap map;
    try (BandMap.Writer writer = new BandMap.Writer(folder.resolve("map"), 16_000)) {
      writer.add(talk, talk.length);
      map = writer.finish();
    }
    assertEquals(300, map.frames());
    byte[] whole = map.read(0, 300);
    int width = BandEnergies.BANDS;
    assertArrayEquals(Arrays.copyOfRange(whole, 50 * width, 60 * width), map.read(50, 10));
    byte[] before = map.read(-2, 4);
    assertArrayEquals(
        Arrays.copyOfRange(whole, 0, 2 * width), Arrays.copyOfRange(before, 2 * width, 4 * width));
    for (int i = 0; i < 2 * width; i++) {
      assertEquals(Byte.MIN_VALUE, before[i]);
    }
    byte[] after = map.read(299, 3);
    assertEquals(whole[299 * width], after[0]);
    assertEquals(Byte.MIN_VALUE, after[width]);
    assertEquals(Byte.MIN_VALUE, map.read(10_000, 1)[0]);
  }

  @Test
  void aScratchFolderThatIsGoneIsSaid(@TempDir Path folder) throws Exception {
    assertThrows(
        MediaAccessException.class, () -> new BandMap.Writer(folder.resolve("no/map"), 16_000));
    BandMap map;
    try (BandMap.Writer writer = new BandMap.Writer(folder.resolve("map"), 16_000)) {
      writer.add(new float[16_000], 16_000);
      map = writer.finish();
    }
    Files.delete(folder.resolve("map"));
    assertThrows(MediaAccessException.class, () -> map.read(0, 1));
  }
}
