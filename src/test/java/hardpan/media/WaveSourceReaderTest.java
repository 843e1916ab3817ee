package hardpan.media;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertInstanceOf;
import static org.junit.jupiter.api.Assertions.assertNull;

import hardpan.media.SourceFacts.Kind;
import hardpan.media.SourceFacts.ReadBy;
import hardpan.media.SourceFacts.SampleForm;
import hardpan.wave.BroadcastExtension;
import hardpan.wave.WaveFileWriter;
import hardpan.wave.WaveFormat;
import hardpan.wave.WaveMetadata;
import java.nio.file.Path;
import java.time.LocalDateTime;
import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class WaveSourceReaderTest {
  /** The FFmpeg libraries are the second opinion on our own reader. */
  @ParameterizedTest
  @CsvSource({
    "pcm_s16le, 16, 1", "pcm_s16le, 16, 2", "pcm_s16le, 16, 5",
    "pcm_s24le, 24, 1", "pcm_s24le, 24, 2", "pcm_s24le, 24, 5",
    "pcm_s32le, 32, 1", "pcm_s32le, 32, 2", "pcm_s32le, 32, 5",
    "pcm_f32le, 32, 1", "pcm_f32le, 32, 2", "pcm_f32le, 32, 5",
    "pcm_u8, 8, 2"
  })
  void bothReadersAgreeBitForBit(String codec, int bits, int channels, @TempDir Path dir)
      throws Exception {
    int frames = 25_000;
    float[][] written = MediaSamples.onGrid(31, Math.min(24, bits), channels, frames);
    Path file =
        MediaSamples.write(
            dir.resolve("a.wav"), MediaSamples.settings("wav", codec, 48_000, channels), written);
    try (SourceReader ours = SourceOpener.open(file);
        SourceReader theirs = FfmpegReader.open(file)) {
      assertInstanceOf(WaveSourceReader.class, ours);
      SourceFacts facts = ours.facts();
      assertEquals(codec, facts.codec());
      assertEquals(codec, theirs.facts().codec());
      assertEquals("wav", facts.container());
      assertEquals(Kind.RECORDING, facts.kind());
      assertEquals(bits, facts.bitsPerSample());
      assertEquals(theirs.facts().bitsPerSample(), facts.bitsPerSample());
      assertEquals((long) frames, facts.frameCount());
      assertEquals((long) frames, theirs.facts().frameCount());
      assertNull(facts.timeReferenceSamples());
      assertEquals(ReadBy.NATIVE, facts.readBy());
      float[][] a = MediaSamples.readAll(ours);
      float[][] b = MediaSamples.readAll(theirs);
      for (int c = 0; c < channels; c++) {
        assertArrayEquals(written[c], a[c]);
        assertArrayEquals(a[c], b[c]);
      }
      if (facts.sampleForm() == SampleForm.INTEGER) {
        int[][] wholeA = MediaSamples.readAllIntegers(ours, frames);
        int[][] wholeB = MediaSamples.readAllIntegers(theirs, frames);
        for (int c = 0; c < channels; c++) {
          assertArrayEquals(wholeA[c], wholeB[c]);
        }
      }
    }
  }

  @Test
  void theBroadcastExtensionGivesTimeAndPlace(@TempDir Path dir) throws Exception {
    BroadcastExtension bext =
        BroadcastExtension.of(
            "", "recorder", "", "2026-06-13", "18:04:05", 3_122_640_000L, null, "");
    String ixml =
        "<BWFXML><TRACK_LIST><TRACK_COUNT>2</TRACK_COUNT>"
            + "<TRACK><CHANNEL_INDEX>1</CHANNEL_INDEX><INTERLEAVE_INDEX>1</INTERLEAVE_INDEX>"
            + "<NAME>Bride</NAME></TRACK>"
            + "<TRACK><CHANNEL_INDEX>4</CHANNEL_INDEX><INTERLEAVE_INDEX>2</INTERLEAVE_INDEX>"
            + "<NAME>Lectern</NAME></TRACK></TRACK_LIST></BWFXML>";
    Path file = dir.resolve("take.wav");
    try (WaveFileWriter writer =
        WaveFileWriter.create(
            file,
            WaveFormat.integer(24, 48_000, 2),
            new WaveMetadata(bext, ixml, Map.of(), List.of()))) {
      writer.writeFloats(new float[2][4800], 4800);
      writer.finish();
    }
    try (SourceReader reader = SourceOpener.open(file)) {
      SourceFacts facts = reader.facts();
      assertEquals(3_122_640_000L, facts.timeReferenceSamples());
      // 3,122,640,000 / 48,000 = 65,055 s = 18:04:15: the samples win over the origination time.
      assertEquals(LocalDateTime.parse("2026-06-13T18:04:15"), facts.startedAt());
      assertEquals(List.of("Bride", "Lectern"), facts.channelNames());
      assertEquals("pcm_s24le", facts.codec());
    }
    try (SourceReader reader = FfmpegReader.open(file)) {
      assertEquals(3_122_640_000L, reader.facts().timeReferenceSamples());
    }
  }

  @Test
  void compressedSoundInAWaveFileGoesToTheLibraries(@TempDir Path dir) throws Exception {
    Path file =
        MediaSamples.write(
            dir.resolve("a.wav"),
            MediaSamples.settings("wav", "adpcm_ms", 48_000, 2),
            MediaSamples.speechLike(32, 48_000, 2, 48_000));
    try (SourceReader reader = SourceOpener.open(file)) {
      assertInstanceOf(FfmpegReader.class, reader);
      assertEquals(Kind.RECORDING, reader.facts().kind());
      assertEquals(SampleForm.LOSSY, reader.facts().sampleForm());
    }
  }
}
