package hardpan.demo;

import hardpan.base.MediaAccessException;
import hardpan.base.MediaException;
import hardpan.base.Monitor;
import hardpan.media.FfmpegClipWriter;
import hardpan.wave.BroadcastExtension;
import hardpan.wave.IxmlDocument;
import hardpan.wave.WaveFileWriter;
import hardpan.wave.WaveFormat;
import hardpan.wave.WaveMetadata;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import java.util.concurrent.Callable;
import java.util.concurrent.atomic.AtomicLong;

/**
 * Makes the files of the {@link DemoShoot} that are not there yet. Everything is streamed; the
 * evening's dry sources and console feeds stay in memory while it works (about 200 MB).
 */
public final class DemoMaker {
  private static final double STAGE_SHARE = 0.3;
  private static final double[] TRACK_GAINS = {0.8, 0.8, 0.7, 0.55};

  /** 24 bits are far below a real preamplifier's noise; these are about -95 dBFS. */
  private static final double[] TRACK_NOISE = {1.8e-5, 1.8e-5, 1.5e-5, 2.5e-5};

  private final Path making;
  private final DemoStamp stamp;
  private final Monitor monitor;
  private final AtomicLong framesDone = new AtomicLong();
  private final long framesToDo;

  private DemoMaker(Path making, DemoStamp stamp, Monitor monitor, long framesToDo) {
    this.making = making;
    this.stamp = stamp;
    this.monitor = monitor;
    this.framesToDo = framesToDo;
  }

  /**
   * Sees to it that a folder holds the whole demo shoot: {@code media/} with the files, and {@code
   * truth.json} beside it. Makes what is missing, or what another version of the generator made;
   * does nothing if all is there. Files are made under a temporary name and appear when finished.
   *
   * @param shootFolder made if missing
   * @param monitor told about progress; asked whether to stop
   * @return the media folder
   * @throws MediaAccessException if the disk refuses, or a file that is not ours has one of our
   *     names
   * @throws MediaException if the encoders are missing on this machine
   * @throws java.util.concurrent.CancellationException if the monitor says stop; finished files
   *     stay
   */
  public static Path ensure(Path shootFolder, Monitor monitor) throws MediaException {
    Path media = shootFolder.resolve("media");
    try {
      Files.createDirectories(media);
      DemoStamp stamp = DemoStamp.open(media);
      List<String> missing = stamp.missing(paths());
      if (!missing.isEmpty()) {
        makeAll(media, stamp, missing, monitor);
      }
      DemoStamp.replaceText(shootFolder.resolve("truth.json"), DemoShoot.truth().toJson());
      return media;
    } catch (MediaException e) {
      throw e;
    } catch (IOException e) {
      throw new MediaAccessException(
          "The demo shoot could not be written to " + shootFolder + ": " + e.getMessage() + ".", e);
    }
  }

  private static List<String> paths() {
    List<String> paths = new ArrayList<>(DemoShoot.clips().stream().map(ClipPlan::path).toList());
    paths.add(DemoShoot.REFERENCE);
    return paths;
  }

  private static void makeAll(Path media, DemoStamp stamp, List<String> missing, Monitor monitor)
      throws IOException {
    List<ClipPlan> clips =
        DemoShoot.clips().stream().filter(clip -> missing.contains(clip.path())).toList();
    boolean recording = missing.contains(DemoShoot.REFERENCE);
    long frames = clips.stream().mapToLong(ClipPlan::frames).sum();
    if (recording) {
      frames += recordingFrames();
    }
    Path making = Files.createTempDirectory(media, ".making-");
    try (Workers workers = new Workers()) {
      DemoMaker maker = new DemoMaker(making, stamp, monitor, frames);
      monitor.progress("making voices and choir", 0);
      Stage stage = Stage.build(DemoShoot.SEED, workers, monitor);
      List<Callable<Boolean>> pieces = new ArrayList<>();
      if (recording) {
        pieces.add(() -> maker.makeRecording(stage));
      }
      for (ClipPlan clip : clips) {
        pieces.add(() -> maker.makeClip(clip, stage));
      }
      workers.all(pieces);
    } finally {
      removeAll(making);
    }
  }

  private static void removeAll(Path folder) throws IOException {
    try (var files = Files.list(folder)) {
      for (Path file : files.toList()) {
        Files.deleteIfExists(file);
      }
    }
    Files.deleteIfExists(folder);
  }

  private static long recordingFrames() {
    return Math.round(DemoShoot.RECORDING_SECONDS * Stage.RATE_HZ);
  }

  private void tell(int frames) {
    double share = framesDone.addAndGet(frames) / (double) framesToDo;
    monitor.progress("making clips", STAGE_SHARE + (1 - STAGE_SHARE) * Math.min(1, share));
  }

  private boolean makeClip(ClipPlan clip, Stage stage) throws IOException {
    Feed feed =
        switch (clip.source()) {
          case SPLIT -> stage.split();
          case BOARD -> stage.boardTwice();
          case FAR -> stage.farPair();
          case OTHER_EVENING -> Stage.otherEvening(DemoShoot.SEED, clip.seconds() + 3);
        };
    DeviceChain chain =
        new DeviceChain(
            electronics(clip, stage),
            clip.clock().rateHz(),
            Dice.seedFor(DemoShoot.SEED, clip.path()));
    ClipPlan.Format format = clip.format();
    Path made = making.resolve(clip.path().replace('/', '_'));
    FfmpegClipWriter.Settings settings =
        new FfmpegClipWriter.Settings(
            format.container(),
            format.codec(),
            format.rateHz(),
            2,
            format.bitRate(),
            true,
            clip.startedAt());
    try (FfmpegClipWriter writer = FfmpegClipWriter.create(made, settings)) {
      ClipRenderer.render(
          feed,
          clip.clock(),
          chain,
          format.lateFrames(),
          clip.frames(),
          (planar, frames) -> {
            writer.write(planar, frames);
            tell(frames);
          },
          monitor);
    }
    stamp.finish(clip.path(), made);
    return true;
  }

  /** The clip's electronics with its gains set so that the loudest peak has the wanted excess. */
  static DeviceChain.Electronics electronics(ClipPlan clip, Stage stage) {
    DeviceChain.Electronics electronics = clip.electronics();
    Double excessDb = clip.excessDb();
    Double ceiling = electronics.ceiling();
    if (excessDb == null || ceiling == null) {
      return electronics;
    }
    double peak =
        stage.boardPeak(clip.clock().eventFrame(0), clip.clock().eventFrame(clip.frames()));
    double gain = ceiling * Math.pow(10, excessDb / 20) / peak;
    double[] gains = Arrays.stream(electronics.gains()).map(relative -> relative * gain).toArray();
    return new DeviceChain.Electronics(
        gains, electronics.noiseRms(), ceiling, electronics.automatic());
  }

  private boolean makeRecording(Stage stage) throws IOException {
    Path made = making.resolve(DemoShoot.REFERENCE.replace('/', '_'));
    DeviceChain chain =
        new DeviceChain(
            new DeviceChain.Electronics(TRACK_GAINS, TRACK_NOISE, null, false),
            Stage.RATE_HZ,
            Dice.seedFor(DemoShoot.SEED, DemoShoot.REFERENCE));
    WaveFormat format = WaveFormat.integer(24, Stage.RATE_HZ, TRACK_GAINS.length);
    try (WaveFileWriter writer = WaveFileWriter.create(made, format, recordingMetadata())) {
      ClipRenderer.render(
          stage.recorder(),
          new ClipClock(0, 0, Stage.RATE_HZ),
          chain,
          0,
          recordingFrames(),
          (planar, frames) -> {
            writer.writeFloats(planar, frames);
            tell(frames);
          },
          monitor);
      writer.finish();
    }
    stamp.finish(DemoShoot.REFERENCE, made);
    return true;
  }

  private static WaveMetadata recordingMetadata() {
    long samples = DemoShoot.STARTED_AT.toLocalTime().toSecondOfDay() * (long) Stage.RATE_HZ;
    BroadcastExtension bext =
        BroadcastExtension.of(
            "Lantern evening, Quillenthwaite village hall",
            "Hardpan demo",
            "",
            DemoShoot.STARTED_AT.toLocalDate().toString(),
            "19-30-00",
            samples,
            null,
            "A=PCM,F=48000,W=24,M=multitrack\r\n");
    List<IxmlDocument.Track> tracks = new ArrayList<>();
    for (int i = 0; i < DemoShoot.TRACK_NAMES.size(); i++) {
      tracks.add(new IxmlDocument.Track(i + 1, i + 1, DemoShoot.TRACK_NAMES.get(i), ""));
    }
    IxmlDocument.Speed speed =
        new IxmlDocument.Speed(
            "25/1", false, Stage.RATE_HZ, 24, Stage.RATE_HZ, samples, Stage.RATE_HZ);
    IxmlDocument ixml =
        new IxmlDocument(
            "Lantern evening", "Evening", "1", "R1", "", "", speed, null, null, tracks);
    return new WaveMetadata(bext, ixml.toXml(), Map.of(), List.of());
  }
}
