package hardpan.bench;

import hardpan.base.MediaException;
import hardpan.base.Monitor;
import hardpan.lineup.BandMap;
import hardpan.lineup.Candidate;
import hardpan.lineup.LineUp;
import hardpan.lineup.MapListener;
import hardpan.media.FfmpegClipWriter;
import hardpan.media.SourceOpener;
import hardpan.media.SourceReader;
import hardpan.signal.SincInterpolator;
import hardpan.wave.WaveFileWriter;
import hardpan.wave.WaveFormat;
import hardpan.wave.WaveMetadata;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Set;
import java.util.SplittableRandom;
import java.util.TreeSet;

/** A recording that many trials share: made once, its band maps kept. */
final class LineUpReference {
  private static final int RATE_HZ = SoundPool.RATE_HZ;
  private static final int BLOCK = Room.BLOCK;
  private static final int BLEED_FRAMES = 290;
  private static final float BLEED = 0.06f;
  private static final int ROOM_DELAY_FRAMES = 480;
  private static final float NOISE = 3e-5f;

  /** What a reference's channels hold. */
  enum Feeds {
    /** One console feed. */
    BOARD,
    /** The microphones of two speakers, with bleed. */
    SPEAKERS,
    /** Both speakers, the console, and a microphone in the room. */
    ALL,
    /** A microphone in the room only. */
    ROOM
  }

  /**
   * How a reference is made.
   *
   * @param seconds length
   * @param feeds its channels
   * @param rateHz 48,000 or 44,100
   * @param codec {@code wav} or {@code aac}
   * @param playbacks whether recordings are played twice in it
   */
  record Kind(String name, int seconds, Feeds feeds, int rateHz, String codec, boolean playbacks) {}

  private final Kind kind;
  private final long eventSeed;
  private final Candidate candidate;
  private final LineUp lineUp;

  private LineUpReference(Kind kind, long eventSeed, Candidate candidate) {
    this.kind = kind;
    this.eventSeed = eventSeed;
    this.candidate = candidate;
    this.lineUp = new LineUp(candidate);
  }

  /**
   * Makes the file and its maps in a folder, or takes what lies there ready from an earlier run.
   *
   * @throws MediaException if the media cannot be made or read
   * @throws IOException if the folder cannot be used
   */
  static LineUpReference make(
      Kind kind, SoundBank bank, long eventSeed, Path folder, Monitor monitor)
      throws MediaException, IOException {
    String stem = kind.name() + "-" + eventSeed;
    Path file = folder.resolve(stem + (kind.codec().equals("wav") ? ".wav" : ".m4a"));
    if (!Files.exists(file)) {
      EventSound event = new EventSound(bank, eventSeed, kind.playbacks(), false);
      // A run that was cut must not leave half a recording under this name.
      Path growing = folder.resolve("growing-" + file.getFileName());
      Files.deleteIfExists(growing);
      write(kind, event, eventSeed, growing, monitor);
      Files.move(growing, file);
    }
    Path facts = folder.resolve(stem + ".facts");
    if (Files.exists(facts)) {
      return new LineUpReference(kind, eventSeed, again(file, stem, folder, facts));
    }
    Candidate read = read(file, stem, folder, monitor);
    List<String> lines = new ArrayList<>(List.of(Long.toString(read.frameCount())));
    read.usableChannels().stream().sorted().forEach(c -> lines.add(Integer.toString(c)));
    Files.write(facts, lines, StandardCharsets.UTF_8);
    return new LineUpReference(kind, eventSeed, read);
  }

  private static Candidate again(Path file, String stem, Path folder, Path facts)
      throws MediaException, IOException {
    List<String> lines = Files.readAllLines(facts, StandardCharsets.UTF_8);
    Set<Integer> usable = new TreeSet<>();
    lines.subList(1, lines.size()).forEach(line -> usable.add(Integer.valueOf(line)));
    List<BandMap> maps = new ArrayList<>();
    int rateHz;
    try (SourceReader reader = SourceOpener.open(file)) {
      rateHz = reader.facts().rateHz();
      for (int i = 0; i < reader.facts().channelCount(); i++) {
        maps.add(BandMap.of(folder.resolve(stem + "-" + i + ".bands")));
      }
    }
    long frames = Long.parseLong(lines.get(0));
    return new Candidate(stem, stem, rateHz, frames, maps, usable, () -> SourceOpener.open(file));
  }

  Kind kind() {
    return kind;
  }

  long eventSeed() {
    return eventSeed;
  }

  Candidate candidate() {
    return candidate;
  }

  LineUp lineUp() {
    return lineUp;
  }

  /** By how much the event's sound comes late on the reference's earliest channel, in seconds. */
  double delaySeconds() {
    return kind.feeds() == Feeds.ROOM ? (double) ROOM_DELAY_FRAMES / RATE_HZ : 0;
  }

  /** Reads a source once and makes its maps, as the job's decode pass does. */
  static Candidate read(Path file, String id, Path folder, Monitor monitor) throws MediaException {
    try (SourceReader reader = SourceOpener.open(file)) {
      int channels = reader.facts().channelCount();
      List<BandMap> maps = new ArrayList<>();
      double[] power = new double[channels];
      long frames = 0;
      try (MapListener listener = new MapListener(reader.facts(), folder.resolve(id))) {
        float[][] block = new float[channels][BLOCK];
        int got;
        while ((got = reader.readAt(frames, block, BLOCK)) > 0) {
          monitor.checkCancelled();
          listener.onBlock(frames, block, got);
          for (int channel = 0; channel < channels; channel++) {
            for (int i = 0; i < got; i++) {
              power[channel] += (double) block[channel][i] * block[channel][i];
            }
          }
          frames += got;
        }
        maps.addAll(listener.finish());
      }
      Set<Integer> usable = new TreeSet<>();
      for (int channel = 0; channel < channels; channel++) {
        if (Math.sqrt(power[channel] / Math.max(1, frames)) > 1e-4) {
          usable.add(channel);
        }
      }
      return new Candidate(
          id, id, reader.facts().rateHz(), frames, maps, usable, () -> SourceOpener.open(file));
    }
  }

  private static void write(Kind kind, EventSound event, long seed, Path file, Monitor monitor)
      throws MediaException, IOException {
    int channels =
        switch (kind.feeds()) {
          case BOARD, ROOM -> 1;
          case SPEAKERS -> 2;
          case ALL -> 4;
        };
    if (kind.codec().equals("wav")) {
      try (WaveFileWriter writer =
          WaveFileWriter.create(
              file, WaveFormat.integer(16, kind.rateHz(), channels), WaveMetadata.NONE)) {
        stream(kind, event, seed, channels, monitor, writer::writeFloats);
        writer.finish();
      }
      return;
    }
    try (FfmpegClipWriter writer =
        FfmpegClipWriter.create(
            file,
            new FfmpegClipWriter.Settings(
                "mp4", kind.codec(), kind.rateHz(), channels, 96_000 * channels, false, null))) {
      stream(kind, event, seed, channels, monitor, writer::write);
    }
  }

  private interface Sink {
    void write(float[][] planar, int frameCount) throws MediaException, IOException;
  }

  private static void stream(
      Kind kind, EventSound event, long seed, int channels, Monitor monitor, Sink sink)
      throws MediaException, IOException {
    Room room = new Room(ROOM_DELAY_FRAMES, 0.6, 0, seed);
    SplittableRandom dice = new SplittableRandom(seed);
    double step = (double) RATE_HZ / kind.rateHz();
    SincInterpolator between = SincInterpolator.withCutoff(1 / Math.max(1, step));
    float[][] kept = new float[channels][0];
    long keptFrom = 0;
    long written = 0;
    long frames = (long) kind.seconds() * kind.rateHz();
    for (long from = 0; written < frames; from += BLOCK) {
      monitor.checkCancelled();
      float[][] block = block(kind, event, room, from, channels);
      for (float[] channel : block) {
        for (int i = 0; i < BLOCK; i++) {
          channel[i] += NOISE * (float) dice.nextDouble(-1, 1);
        }
      }
      if (kind.rateHz() == RATE_HZ) {
        int count = (int) Math.min(BLOCK, frames - written);
        sink.write(block, count);
        written += count;
        continue;
      }
      // What came before is kept until the interpolation has passed it.
      for (int channel = 0; channel < channels; channel++) {
        float[] longer = new float[kept[channel].length + BLOCK];
        System.arraycopy(kept[channel], 0, longer, 0, kept[channel].length);
        System.arraycopy(block[channel], 0, longer, kept[channel].length, BLOCK);
        kept[channel] = longer;
      }
      long end = from + BLOCK - between.halfTaps() - 1;
      int count = (int) Math.min(frames - written, (long) (end / step) - written);
      float[][] out = new float[channels][count];
      for (int channel = 0; channel < channels; channel++) {
        for (int i = 0; i < count; i++) {
          out[channel][i] = (float) between.at(kept[channel], (written + i) * step - keptFrom);
        }
      }
      sink.write(out, count);
      written += count;
      long nextFrom = Math.max(keptFrom, (long) (written * step) - between.halfTaps() - 2);
      for (int channel = 0; channel < channels; channel++) {
        kept[channel] =
            Arrays.copyOfRange(kept[channel], (int) (nextFrom - keptFrom), kept[channel].length);
      }
      keptFrom = nextFrom;
    }
  }

  private static float[][] block(Kind kind, EventSound event, Room room, long from, int channels) {
    float[][] block = new float[channels][BLOCK];
    switch (kind.feeds()) {
      case BOARD -> event.addAll(from, 0.7f, block[0], BLOCK);
      case SPEAKERS -> speakers(event, from, block[0], block[1]);
      case ALL -> {
        speakers(event, from, block[0], block[1]);
        event.addAll(from, 0.7f, block[2], BLOCK);
        event.addAll(from, 0.4f, block[3], BLOCK);
        room.process(block[3], 0, BLOCK);
      }
      case ROOM -> {
        event.addAll(from, 0.4f, block[0], BLOCK);
        room.process(block[0], 0, BLOCK);
      }
    }
    return block;
  }

  /**
   * Each speaker's own microphone, with the other as bleed and the band from a monitor beside it.
   */
  static void speakers(EventSound event, long from, float[] left, float[] right) {
    int count = left.length;
    event.add(EventSound.Stream.FIRST, from, 0.8f, left, count);
    event.add(EventSound.Stream.SECOND, from - BLEED_FRAMES, BLEED, left, count);
    event.add(EventSound.Stream.BAND, from, 2 * BLEED, left, count);
    event.add(EventSound.Stream.SECOND, from, 0.8f, right, count);
    event.add(EventSound.Stream.FIRST, from - BLEED_FRAMES, BLEED, right, count);
    event.add(EventSound.Stream.BAND, from, 2 * BLEED, right, count);
  }
}
