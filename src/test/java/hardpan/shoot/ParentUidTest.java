package hardpan.shoot;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import hardpan.base.Monitor;
import hardpan.report.LaneReport;
import hardpan.wave.BroadcastExtension;
import hardpan.wave.IxmlDocument;
import hardpan.wave.RawChunk;
import hardpan.wave.Umid;
import hardpan.wave.UnknownChunks;
import hardpan.wave.WaveFormat;
import hardpan.wave.WaveHeader;
import hardpan.wave.WaveMetadata;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Map;
import java.util.UUID;
import org.jspecify.annotations.NullUnmarked;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** The identifier of the file a lane was made from (iXML 3.01, HISTORY). */
@NullUnmarked
class ParentUidTest {
  private static final UUID MATERIAL = UUID.fromString("6f1b1f5e-2a57-4b0e-9d7f-0f6a4c1d2e3f");

  @TempDir Path folder;

  private Path wave(String name, String ixmlUid, Umid umid) throws Exception {
    BroadcastExtension bext =
        BroadcastExtension.of("", "Recorder", "", "2026-05-16", "19-00-00", 0, umid, "");
    IxmlDocument ixml = new IxmlDocument("", "", "", "", "", ixmlUid, null, null, null, List.of());
    return ShootSamples.wave(
        folder.resolve("shoot/REC").resolve(name),
        WaveFormat.integer(16, 48_000, 1),
        new WaveMetadata(bext, ixml.toXml(), Map.of(), List.of()),
        ShootSamples.speech(name.hashCode(), 48_000, 1));
  }

  @Test
  void aRecordersOwnIdentifierIsKept() throws Exception {
    assertEquals("REC0815", ParentUid.of(wave("a.wav", "REC0815", Umid.basic(MATERIAL))).uid());
    assertEquals(
        Umid.basic(MATERIAL).toString(),
        ParentUid.of(wave("b.wav", "", Umid.basic(MATERIAL))).uid());
  }

  /** A copy is the same file wherever it lies, another take is not. */
  @Test
  void aFileWithoutOneIsKnownByItsContent() throws Exception {
    Path first = wave("c.wav", "", null);
    String uid = ParentUid.of(first).uid();
    assertTrue(uid.matches("[0-9a-f]{32}"), uid);
    assertEquals(uid, ParentUid.of(Files.copy(first, folder.resolve("copy.wav"))).uid());
    assertNotEquals(uid, ParentUid.of(wave("d.wav", "", null)).uid());
    assertEquals("", ParentUid.of(folder.resolve("gone.wav")).uid());
  }

  @Test
  void theLanesNameTheirParent() throws Exception {
    wave("e.wav", "REC0816", null);
    Path target = folder.resolve("out");
    HandOver.Result result =
        HandOver.write(
            ShootSamples.read(folder.resolve("shoot")),
            ShootSamples.options(target, false),
            Monitor.SILENT);
    LaneReport lane = result.report().lanes().get(0);
    IxmlDocument.History history =
        WaveHeader.read(target.resolve(lane.file())).ixmlDocument().history();
    assertEquals("REC0816", history.parentUid());
    assertEquals("e.wav", history.parentFileName());
  }

  /**
   * EBU Tech 3285, section 2.1: what is private to others is passed through unchanged, also of odd
   * length; what describes the file's own samples is not.
   */
  @Test
  void unknownChunksSurvive() throws Exception {
    RawChunk odd = new RawChunk("hArv", new byte[] {1, 2, 3});
    RawChunk even = new RawChunk("xyZ1", new byte[] {9, 0, 0, 7});
    RawChunk peaks = new RawChunk("levl", new byte[] {5, 5});
    WaveMetadata metadata =
        new WaveMetadata(null, null, Map.of(), List.of(), List.of(odd, peaks, even));
    ShootSamples.wave(
        folder.resolve("shoot/REC/p.wav"),
        WaveFormat.integer(16, 48_000, 2),
        metadata,
        ShootSamples.speech(1, 48_000, 1),
        ShootSamples.speech(2, 48_000, 1));
    Path target = folder.resolve("out");
    HandOver.Result result =
        HandOver.write(
            ShootSamples.read(folder.resolve("shoot")),
            ShootSamples.options(target, false),
            Monitor.SILENT);
    assertEquals(2, result.report().lanes().size());
    for (LaneReport lane : result.report().lanes()) {
      Path file = target.resolve(lane.file());
      WaveHeader header = WaveHeader.read(file);
      assertEquals(List.of(), header.oddities());
      assertEquals(List.of(odd, even), UnknownChunks.of(file, header));
    }
  }
}
