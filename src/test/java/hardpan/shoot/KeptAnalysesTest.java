package hardpan.shoot;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNotEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import hardpan.base.Monitor;
import hardpan.lineup.BandMap;
import hardpan.media.ReaderChoice;
import hardpan.media.SourceFacts.ReadBy;
import hardpan.report.ReportJson;
import hardpan.signal.BandEnergies;
import hardpan.wave.WaveFormat;
import java.io.IOException;
import java.io.RandomAccessFile;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.nio.file.attribute.FileTime;
import java.sql.Connection;
import java.sql.DriverManager;
import java.sql.SQLException;
import java.sql.Statement;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.Random;
import java.util.concurrent.CancellationException;
import java.util.concurrent.atomic.AtomicInteger;
import org.jspecify.annotations.NullUnmarked;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** What a saved shoot keeps of sources, and when it is not used. */
@NullUnmarked
class KeptAnalysesTest {
  @TempDir Path folder;
  private Scratch scratch;

  @BeforeEach
  void open() throws Exception {
    scratch = Scratch.create();
  }

  @AfterEach
  void close() throws Exception {
    scratch.close();
  }

  private Path file() {
    return folder.resolve("shoot.hardpan");
  }

  private Analysis keep(Path wave) throws Exception {
    Analysis analysis = KeptSamples.analysis(wave, scratch);
    try (ShootFile kept = ShootFile.openOrCreate(file())) {
      KeptSamples.store(kept, wave, analysis);
    }
    return analysis;
  }

  private Optional<Analysis> findAgain(Path wave) throws Exception {
    try (ShootFile kept = ShootFile.open(file())) {
      Optional<Analysis> found = KeptSamples.find(kept, wave, scratch);
      assertEquals(Optional.empty(), kept.trouble());
      return found;
    }
  }

  @Test
  void everythingComesBackAsItWas() throws Exception {
    Path media = folder.resolve("media");
    int rate = ShootSamples.RATE;
    float[] voice = ShootSamples.speech(21, rate, 6);
    float[] hot = ShootSamples.speech(22, rate, 6);
    float[] odd = ShootSamples.speech(23, rate, 6);
    for (int i = 0; i < hot.length; i++) {
      hot[i] = Math.max(-0.9f, Math.min(0.9f, 12 * hot[i]));
      odd[i] = i % 1000 == 0 ? Float.NaN : 0.5f * odd[i] + 0.2f;
    }
    float[] silence = new float[voice.length];
    ShootSamples.harvestSupper(media);
    ShootSamples.wave(
        media.resolve("odd.wav"), WaveFormat.float32(rate, 4), voice, hot, odd, silence);
    ShootSamples.clip(media.resolve("hot.mov"), "mov", "pcm_s16le", rate, voice, hot);
    // Long enough for several pieces of its map.
    float[] low = ShootSamples.speech(24, 8000, 340);
    ShootSamples.wave(media.resolve("long.wav"), WaveFormat.integer(16, 8000, 1), low);

    List<ShootSource> fresh;
    try (ShootFile kept = ShootFile.create(file())) {
      ShootSteps steps = new ShootSteps(ReaderChoice.BEST, scratch, Monitor.SILENT, kept);
      fresh = steps.read(steps.find(List.of(media))).sources();
      assertEquals(Optional.empty(), kept.trouble());
    }
    assertEquals(6, fresh.size());
    int findings = 0;
    for (ShootSource source : fresh) {
      Analysis found = findAgain(source.file()).orElseThrow();
      KeptSamples.assertSame(KeptSamples.fromWithin(source.analysis()), found);
      findings +=
          found.verdicts().channels().stream().mapToInt(channel -> channel.findings().size()).sum();
    }
    assertTrue(findings >= 4, "too little to keep: " + findings);
  }

  @Test
  void mapsOfEveryLengthComeBack() throws Exception {
    Random random = new Random(31);
    try (Connection connection = fresh();
        Statement statement = connection.createStatement()) {
      statement.execute("INSERT INTO source VALUES (1, 'p', 'NATIVE', 1, 1, 's', 1, '{}', 0)");
      PieceStore pieces = new PieceStore(connection);
      int piece = PieceStore.PIECE_FRAMES;
      int[] lengths = {0, 1, piece - 1, piece, piece + 1, 3 * piece};
      for (int channel = 0; channel < lengths.length; channel++) {
        byte[] noise = new byte[lengths[channel] * BandEnergies.BANDS];
        random.nextBytes(noise);
        BandMap map = BandMap.of(Files.write(folder.resolve("map" + channel), noise));
        assertEquals(lengths[channel], map.frames());
        pieces.writeMap(1, channel, map);
        Path back = folder.resolve("back" + channel);
        assertEquals(lengths[channel], pieces.readMap(1, channel, lengths[channel], back).frames());
        assertEquals(-1, Files.mismatch(folder.resolve("map" + channel), back));
        for (long wrong : new long[] {lengths[channel] - 1, lengths[channel] + 1}) {
          int asked = channel;
          if (wrong >= 0) {
            assertThrows(PieceStore.Unreadable.class, () -> pieces.readMap(1, asked, wrong, back));
          }
        }
      }
    }
  }

  @Test
  void changedFilesAreNotFound() throws Exception {
    Path wave = KeptSamples.wave(folder.resolve("a.wav"), 41, 6);
    FileTime time = Files.getLastModifiedTime(wave);
    keep(wave);
    assertTrue(findAgain(wave).isPresent());
    // Another time.
    Files.setLastModifiedTime(wave, FileTime.fromMillis(time.toMillis() + 2000));
    assertFalse(findAgain(wave).isPresent());
    Files.setLastModifiedTime(wave, time);
    assertTrue(findAgain(wave).isPresent());
    // Other content at the start, in the middle, at the end; same size, same time.
    long size = Files.size(wave);
    for (long at : new long[] {60, size / 2, size - 1}) {
      byte[] before = Files.readAllBytes(wave);
      try (RandomAccessFile bytes = new RandomAccessFile(wave.toFile(), "rw")) {
        bytes.seek(at);
        bytes.write(before[(int) at] + 1);
      }
      Files.setLastModifiedTime(wave, time);
      assertFalse(findAgain(wave).isPresent(), "changed at " + at);
      Files.write(wave, before);
      Files.setLastModifiedTime(wave, time);
    }
    // Longer.
    Files.write(wave, new byte[] {0, 0}, StandardOpenOption.APPEND);
    Files.setLastModifiedTime(wave, time);
    assertFalse(findAgain(wave).isPresent());
  }

  @Test
  void aMovedFileIsFoundUnderItsOwnNameOnly() throws Exception {
    Path wave = KeptSamples.wave(folder.resolve("a.wav"), 42, 1);
    Analysis analysis = keep(wave);
    Path moved = Files.createDirectory(folder.resolve("sorted")).resolve("a.wav");
    Files.move(wave, moved);
    KeptSamples.assertSame(analysis, findAgain(moved).orElseThrow());
    // Another ending could make it another kind of source.
    Path renamed = folder.resolve("a.mov");
    Files.move(moved, renamed);
    assertFalse(findAgain(renamed).isPresent());
    assertEquals(null, SourceMark.of(moved));
    assertEquals(null, SourceMark.of(folder));
  }

  @Test
  void staleResultsAreIgnoredAndReplaced() throws Exception {
    Path wave = KeptSamples.wave(folder.resolve("a.wav"), 43, 1);
    Analysis analysis = keep(wave);
    int newer = ShootFile.ANALYSIS_VERSION + 1;
    try (ShootFile kept = ShootFile.open(file(), ShootLadder.CURRENT, newer)) {
      assertFalse(KeptSamples.find(kept, wave, scratch).isPresent());
      KeptSamples.store(kept, wave, analysis);
      assertTrue(KeptSamples.find(kept, wave, scratch).isPresent());
    }
    assertFalse(findAgain(wave).isPresent());
    assertEquals(1, count("source"));
    Files.delete(wave);
    KeptSamples.wave(wave, 44, 2);
    Analysis other = keep(wave);
    assertNotEquals(analysis.frameCount(), other.frameCount());
    KeptSamples.assertSame(other, findAgain(wave).orElseThrow());
    assertEquals(1, count("source"));
    // The pieces of the replaced results are gone with them: a waveform, a map and the edges.
    assertEquals(3, count("piece"));
  }

  @Test
  void eachReaderHasItsOwn() throws Exception {
    Path wave = KeptSamples.wave(folder.resolve("a.wav"), 45, 1);
    Analysis analysis = keep(wave);
    try (ShootFile kept = ShootFile.open(file())) {
      SourceMark mark = SourceMark.of(wave);
      assertFalse(kept.find(mark, ReadBy.FALLBACK, scratch.prefix()).isPresent());
      kept.store(mark, ReadBy.FALLBACK, analysis);
      assertTrue(kept.find(mark, ReadBy.FALLBACK, scratch.prefix()).isPresent());
      assertTrue(kept.find(mark, ReadBy.NATIVE, scratch.prefix()).isPresent());
    }
    assertEquals(2, count("source"));
  }

  @Test
  void whatDoesNotReadBackIsAbsent() throws Exception {
    Path wave = KeptSamples.wave(folder.resolve("a.wav"), 46, 1);
    Path whole = folder.resolve("whole.hardpan");
    keep(wave);
    Files.copy(file(), whole);
    for (String harm :
        List.of(
            "UPDATE source SET record = replace(record, 'frameCount', 'frameCounts')",
            "UPDATE source SET record_check = record_check + 1",
            "UPDATE piece SET bytes = x'00' WHERE kind = 'bands'",
            "UPDATE piece SET bytes_check = 0 WHERE kind = 'waveform'",
            "UPDATE piece SET number = 1 WHERE kind = 'bands'",
            "DELETE FROM piece WHERE kind = 'bands'",
            "DELETE FROM piece WHERE kind = 'waveform'",
            "INSERT INTO piece SELECT source, kind, channel, 1, bytes, bytes_check FROM piece"
                + " WHERE kind = 'bands'")) {
      Files.delete(file());
      Files.copy(whole, file());
      assertTrue(findAgain(wave).isPresent());
      execute(harm);
      assertFalse(findAgain(wave).isPresent(), harm);
      // The next run measures it again and keeps that.
      keep(wave);
      assertTrue(findAgain(wave).isPresent(), harm);
    }
  }

  @Test
  void aDamagedPieceOfMapIsAbsentEvenWithTheRightCheck() throws Exception {
    Path wave = KeptSamples.wave(folder.resolve("a.wav"), 47, 1);
    keep(wave);
    byte[] junk = new byte[300];
    new Random(48).nextBytes(junk);
    StringBuilder hex = new StringBuilder();
    for (byte b : junk) {
      hex.append(String.format(Locale.ROOT, "%02x", b));
    }
    execute("UPDATE piece SET bytes = x'" + hex + "', bytes_check = " + PieceStore.check(junk));
    assertFalse(findAgain(wave).isPresent());
  }

  @Test
  void nothingIsDecodedTheSecondTime() throws Exception {
    Path media = ShootSamples.harvestSupper(folder.resolve("media"));
    String first = report(media);
    // Bytes that the sample does not look at: a second reading would see them.
    Path clip = media.resolve("CAM-A/a1.mov");
    FileTime time = Files.getLastModifiedTime(clip);
    try (RandomAccessFile bytes = new RandomAccessFile(clip.toFile(), "rw")) {
      bytes.seek(bytes.length() / 4);
      byte[] loud = new byte[60_000];
      new Random(49).nextBytes(loud);
      bytes.write(loud);
    }
    Files.setLastModifiedTime(clip, time);
    assertEquals(first, report(media));
    Files.setLastModifiedTime(clip, FileTime.fromMillis(time.toMillis() + 5000));
    assertNotEquals(first, report(media));
  }

  private String report(Path media) throws Exception {
    try (Scratch own = Scratch.create();
        ShootFile kept = ShootFile.openOrCreate(file())) {
      ShootSteps steps = new ShootSteps(ReaderChoice.BEST, own, Monitor.SILENT, kept);
      Shoot shoot = steps.read(steps.find(List.of(media)));
      assertEquals(Optional.empty(), kept.trouble());
      return ReportJson.toText(ReportMaker.report(shoot, List.of(), ShootSamples.MADE_AT));
    }
  }

  @Test
  void bothRunsGiveTheSameReport() throws Exception {
    Path media = ShootSamples.harvestSupper(folder.resolve("media"));
    List<String> reports = new ArrayList<>();
    for (int run = 0; run < 2; run++) {
      try (Scratch own = Scratch.create();
          ShootFile kept = ShootFile.openOrCreate(file())) {
        ShootSteps steps = new ShootSteps(ReaderChoice.BEST, own, Monitor.SILENT, kept);
        Shoot shoot = steps.lineUp(steps.read(steps.find(List.of(media))), null);
        reports.add(ReportJson.toText(ReportMaker.report(shoot, List.of(), ShootSamples.MADE_AT)));
      }
    }
    try (Scratch own = Scratch.create()) {
      ShootSteps steps = new ShootSteps(ReaderChoice.BEST, own, Monitor.SILENT);
      Shoot shoot = steps.lineUp(steps.read(steps.find(List.of(media))), null);
      reports.add(ReportJson.toText(ReportMaker.report(shoot, List.of(), ShootSamples.MADE_AT)));
    }
    assertTrue(reports.get(0).contains("\"placed\""), reports.get(0));
    assertEquals(reports.get(0), reports.get(1));
    assertEquals(reports.get(0), reports.get(2), "keeping must not change what is said");
  }

  @Test
  void severalThreadsKeepAndFind() throws Exception {
    List<Path> waves = new ArrayList<>();
    List<Analysis> analyses = new ArrayList<>();
    for (int i = 0; i < 6; i++) {
      waves.add(KeptSamples.wave(folder.resolve("w" + i + ".wav"), 60 + i, 1 + 0.3 * i));
      analyses.add(KeptSamples.analysis(waves.get(i), scratch));
    }
    try (ShootFile kept = ShootFile.create(file())) {
      List<Thread> threads = new ArrayList<>();
      AtomicInteger found = new AtomicInteger();
      for (int t = 0; t < 4; t++) {
        int start = t;
        Thread thread =
            new Thread(
                () -> {
                  for (int i = 0; i < 30; i++) {
                    int which = (start + i) % waves.size();
                    KeptSamples.store(kept, waves.get(which), analyses.get(which));
                    if (KeptSamples.find(kept, waves.get(which), scratch).isPresent()) {
                      found.incrementAndGet();
                    }
                  }
                },
                "keeper-" + t);
        threads.add(thread);
        thread.start();
      }
      for (Thread thread : threads) {
        thread.join();
      }
      assertEquals(120, found.get());
    }
    assertEquals(6, count("source"));
    for (int i = 0; i < waves.size(); i++) {
      KeptSamples.assertSame(analyses.get(i), findAgain(waves.get(i)).orElseThrow());
    }
  }

  @Test
  void aCancelledRunLeavesWhatItHad() throws Exception {
    Path media = folder.resolve("media");
    for (int i = 0; i < 8; i++) {
      KeptSamples.wave(media.resolve("w" + i + ".wav"), 70 + i, 2);
    }
    AtomicInteger asked = new AtomicInteger();
    Monitor monitor =
        new Monitor() {
          @Override
          public void progress(String stage, double fraction) {}

          @Override
          public boolean isCancelled() {
            return asked.incrementAndGet() > 14;
          }
        };
    try (ShootFile kept = ShootFile.create(file())) {
      ShootSteps steps = new ShootSteps(ReaderChoice.BEST, scratch, monitor, kept);
      Shoot found = steps.find(List.of(media));
      assertThrows(CancellationException.class, () -> steps.read(found));
    }
    int before = count("source");
    assertTrue(before > 0 && before < 8, "kept " + before);
    report(media);
    assertEquals(8, count("source"));
  }

  @Test
  void aFileThatGrowsWhileItIsReadIsNotKept() throws Exception {
    Path wave = KeptSamples.wave(folder.resolve("a.wav"), 81, 1);
    Analysis analysis = KeptSamples.analysis(wave, scratch);
    try (ShootFile kept = ShootFile.create(file())) {
      KeptReading reading = new KeptReading(kept, ReaderChoice.BEST, scratch);
      reading.of(
          wave,
          () -> {
            try {
              Files.write(wave, new byte[] {0}, StandardOpenOption.APPEND);
            } catch (IOException e) {
              throw new AssertionError(e);
            }
            return analysis;
          });
      assertFalse(KeptSamples.find(kept, wave, scratch).isPresent());
      reading.of(wave, () -> analysis);
      assertTrue(KeptSamples.find(kept, wave, scratch).isPresent());
    }
  }

  @Test
  void aFullDiskCostsTheNewResultOnly() throws Exception {
    Path old = KeptSamples.wave(folder.resolve("a.wav"), 82, 1);
    Path next = KeptSamples.wave(folder.resolve("b.wav"), 83, 30);
    keep(old);
    Analysis large = KeptSamples.analysis(next, scratch);
    SourceMark mark = SourceMark.of(next);
    try (Connection connection = ShootFileOpener.open(file(), ShootLadder.CURRENT);
        Statement statement = connection.createStatement()) {
      // The limit makes the database answer as it does when the disk is full.
      statement.execute("PRAGMA max_page_count = 12");
      AnalysisStore store = new AnalysisStore(connection, ShootFile.ANALYSIS_VERSION);
      SQLException e =
          assertThrows(SQLException.class, () -> store.store(mark, ReadBy.NATIVE, large));
      assertEquals(
          file() + " cannot keep more: the disk is full.", ShootFileOpener.sentence(file(), e));
      assertFalse(store.find(mark, ReadBy.NATIVE, scratch.prefix()).isPresent());
    }
    assertTrue(findAgain(old).isPresent());
    assertEquals(1, count("source"));
  }

  @Test
  void troubleIsToldAndEndsTheKeeping() throws Exception {
    Path wave = KeptSamples.wave(folder.resolve("a.wav"), 84, 1);
    Analysis lost;
    try (Scratch gone = Scratch.create()) {
      lost = KeptSamples.analysis(wave, gone);
    }
    try (ShootFile kept = ShootFile.create(file())) {
      kept.store(SourceMark.of(wave), ReadBy.NATIVE, lost);
      assertTrue(kept.trouble().orElseThrow().endsWith("."), kept.trouble().toString());
      assertFalse(KeptSamples.find(kept, wave, scratch).isPresent());
      kept.store(SourceMark.of(wave), ReadBy.NATIVE, KeptSamples.analysis(wave, scratch));
    }
    assertEquals(0, count("source"));
  }

  private Connection fresh() throws Exception {
    ShootFileOpener.create(file(), ShootLadder.CURRENT);
    return ShootFileOpener.open(file(), ShootLadder.CURRENT);
  }

  private void execute(String command) throws Exception {
    try (Connection connection = DriverManager.getConnection("jdbc:sqlite:" + file());
        Statement statement = connection.createStatement()) {
      statement.execute(command);
    }
  }

  private int count(String table) throws Exception {
    try (Connection connection = DriverManager.getConnection("jdbc:sqlite:" + file());
        Statement statement = connection.createStatement();
        var rows = statement.executeQuery("SELECT count(*) FROM " + table)) {
      rows.next();
      return rows.getInt(1);
    }
  }
}
