package hardpan.lanes;

import hardpan.base.Monitor;
import hardpan.lineup.Placement;
import hardpan.media.DecodePass;
import hardpan.media.FfmpegClipWriter;
import hardpan.media.ReaderChoice;
import hardpan.media.SourceFacts;
import hardpan.media.SourceOpener;
import hardpan.media.SourceReader;
import hardpan.verdict.ChannelVerdict;
import hardpan.verdict.Clipping;
import hardpan.verdict.Overload;
import hardpan.verdict.PairVerdict;
import hardpan.verdict.VerdictListener;
import hardpan.verdict.Verdicts;
import hardpan.wave.WaveFileReader;
import hardpan.wave.WaveFileWriter;
import hardpan.wave.WaveFormat;
import hardpan.wave.WaveMetadata;
import java.io.IOException;
import java.nio.file.Path;
import java.time.OffsetDateTime;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Collections;
import java.util.List;
import java.util.Map;
import java.util.Random;
import org.jspecify.annotations.Nullable;

/** Seeded sound, files made of it, and sources as the lanes see them. */
final class LaneSamples {
  static final OffsetDateTime MADE_AT = OffsetDateTime.parse("2026-05-16T22:10:00Z");

  private LaneSamples() {}

  /** Bursts of noise with pauses, on the grid of so many bits, so that files hold it exactly. */
  static float[] speech(long seed, int rateHz, double seconds, double amplitude, int bits) {
    Random random = new Random(seed);
    float[] sound = new float[(int) Math.round(rateHz * seconds)];
    double scale = Math.scalb(1.0, bits - 1);
    double level = 1;
    for (int i = 0; i < sound.length; i++) {
      if (i % (rateHz / 8) == 0) {
        level = random.nextInt(4) == 0 ? 0.02 : 0.3 + 0.7 * random.nextDouble();
      }
      double value = amplitude * level * (random.nextDouble() * 2 - 1);
      sound[i] = (float) (Math.rint(value * scale) / scale) + 0f;
    }
    return sound;
  }

  static float[] inverted(float[] sound) {
    float[] result = new float[sound.length];
    for (int i = 0; i < sound.length; i++) {
      result[i] = 0f - sound[i];
    }
    return result;
  }

  static int[] leftJustified(float[] onGrid) {
    int[] result = new int[onGrid.length];
    for (int i = 0; i < result.length; i++) {
      result[i] = (int) Math.rint(onGrid[i] * 0x1p31);
    }
    return result;
  }

  static Path clip(Path file, String container, String codec, int rateHz, float[]... planar)
      throws IOException {
    var settings =
        new FfmpegClipWriter.Settings(
            container, codec, rateHz, planar.length, 256_000, false, null);
    try (FfmpegClipWriter writer = FfmpegClipWriter.create(file, settings)) {
      writer.write(planar, planar[0].length);
    }
    return file;
  }

  static Path wave(Path file, WaveFormat format, WaveMetadata metadata, float[]... planar)
      throws IOException {
    try (WaveFileWriter writer = WaveFileWriter.create(file, format, metadata)) {
      writer.writeFloats(planar, planar[0].length);
      writer.finish();
    }
    return file;
  }

  /** A source that was really read and judged. */
  static LaneSource source(Path file, @Nullable Placement placement, boolean isReference)
      throws IOException {
    try (SourceReader reader = SourceOpener.open(file)) {
      VerdictListener verdicts = new VerdictListener(reader.facts());
      long frames = DecodePass.run(reader, List.of(verdicts), Monitor.SILENT);
      return new LaneSource(
          "CAM-A/" + file.getFileName(),
          "CAM-A",
          1,
          reader.facts(),
          frames,
          verdicts.finish(),
          placement,
          isReference,
          () -> SourceOpener.open(file, ReaderChoice.BEST));
    }
  }

  /** A source that exists only in words. */
  static LaneSource named(
      String device, SourceFacts facts, Verdicts verdicts, @Nullable Placement placement) {
    return new LaneSource(
        device + "/x.mov",
        device,
        1,
        facts,
        48_000,
        verdicts,
        placement,
        false,
        () -> {
          throw new AssertionError("not to be opened");
        });
  }

  static SourceFacts facts(SourceFacts.Kind kind, int rateHz, String... channelNames) {
    return new SourceFacts(
        kind,
        "wav",
        "pcm_s24le",
        SourceFacts.SampleForm.INTEGER,
        rateHz,
        24,
        channelNames.length,
        48_000L,
        null,
        null,
        List.of(channelNames),
        SourceFacts.ReadBy.NATIVE);
  }

  static SourceFacts stamped(@Nullable Long timeReference, @Nullable String startedAt) {
    return new SourceFacts(
        SourceFacts.Kind.RECORDING,
        "wav",
        "pcm_s24le",
        SourceFacts.SampleForm.INTEGER,
        48_000,
        24,
        1,
        48_000L,
        startedAt == null ? null : OffsetDateTime.parse(startedAt),
        timeReference,
        List.of(""),
        SourceFacts.ReadBy.NATIVE);
  }

  static ChannelVerdict audible() {
    return channel(false);
  }

  static ChannelVerdict channel(boolean silent) {
    return new ChannelVerdict(
        -12.0,
        -30.0,
        -70.0,
        -20.0,
        0,
        silent,
        Clipping.none(0.95),
        new Overload(Overload.Verdict.NONE, null, null, 0.9),
        List.of());
  }

  static Verdicts verdicts(PairVerdict.@Nullable Relation relation, double gainDb, int channels) {
    PairVerdict pair =
        relation == null ? null : new PairVerdict(relation, 0.9, 0.0, gainDb, null, null);
    return new Verdicts(new ArrayList<>(Collections.nCopies(channels, audible())), pair);
  }

  static Placement placed(double offsetSeconds, double driftPpm, boolean inverted, int channel) {
    return new Placement(
        Placement.State.PLACED,
        offsetSeconds,
        driftPpm,
        inverted,
        0.95,
        0.01,
        1.0,
        channel,
        0,
        "for a test",
        List.of());
  }

  /** Plans and writes all lanes of one source; the reference runs at 48 kHz from midnight. */
  static List<WrittenLane> write(LaneSource source, DriftCorrection correction, Path folder)
      throws IOException {
    return write(source, correction, folder, LaneClock.of(null, -3600));
  }

  static List<WrittenLane> write(
      LaneSource source, DriftCorrection correction, Path folder, LaneClock clock)
      throws IOException {
    return write(files(List.of(source), correction, Arrangement.USUAL), folder, clock);
  }

  /** Writes files that share their sources. */
  static List<WrittenLane> write(List<PlannedFile> files, Path folder, LaneClock clock)
      throws IOException {
    LaneWriter writer =
        new LaneWriter(
            clock,
            new LaneLabels("Harvest supper", "Hardpan test", MADE_AT, files, Map.of()),
            true);
    return files.isEmpty()
        ? List.of()
        : writer.write(
            files,
            folder,
            (source, failure) -> {
              throw new AssertionError(source.path(), failure);
            },
            Monitor.SILENT);
  }

  /** All files of some sources; the reference runs at 48 kHz. */
  static List<PlannedFile> files(
      List<LaneSource> sources, DriftCorrection correction, Arrangement arrangement) {
    return LanePlanner.plan(sources, null, correction, arrangement, "Harvest supper");
  }

  /** All lanes of some sources, each in a file of its own. */
  static List<Lane> plan(List<LaneSource> sources, DriftCorrection correction) {
    return files(sources, correction, Arrangement.USUAL).stream()
        .map(file -> file.lanes().get(0))
        .toList();
  }

  static int[] integers(Path file) throws IOException {
    try (WaveFileReader reader = WaveFileReader.open(file)) {
      int[][] sound = new int[1][(int) reader.header().frameCount()];
      reader.readIntegersAt(0, sound, sound[0].length);
      return sound[0];
    }
  }

  static float[] floats(Path file) throws IOException {
    try (WaveFileReader reader = WaveFileReader.open(file)) {
      float[][] sound = new float[1][(int) reader.header().frameCount()];
      reader.readAt(0, sound, sound[0].length);
      return sound[0];
    }
  }

  /** All sound of a source as its reader gives it. */
  static float[][] decoded(Path file) throws IOException {
    try (SourceReader reader = SourceOpener.open(file)) {
      float[][] all = new float[reader.facts().channelCount()][1 << 20];
      int got = reader.readAt(0, all, 1 << 20);
      float[][] result = new float[all.length][];
      for (int i = 0; i < all.length; i++) {
        result[i] = Arrays.copyOf(all[i], got);
      }
      return result;
    }
  }
}
