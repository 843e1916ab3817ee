package hardpan.lanes;

import hardpan.base.MediaException;
import hardpan.base.Monitor;
import hardpan.media.SourceReader;
import java.io.IOException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.function.BiConsumer;
import org.jspecify.annotations.Nullable;

/**
 * Writes lanes as Broadcast Wave files. Sound is streamed in blocks; a lane of any length takes the
 * same memory.
 */
public final class LaneWriter {
  private static final int BLOCK_FRAMES = 1 << 16;

  private final LaneClock clock;
  private final LaneLabels labels;
  private final boolean measured;

  /**
   * For one hand-over.
   *
   * @param clock the shoot's clock
   * @param labels what is written into the files beside the sound
   * @param measured whether loudness is measured on the way; else its fields stay unused
   */
  public LaneWriter(LaneClock clock, LaneLabels labels, boolean measured) {
    this.clock = clock;
    this.labels = labels;
    this.measured = measured;
  }

  /**
   * Writes files that share their sources, reading each source once.
   *
   * @param plans the files
   * @param folder where they go; they must not exist there yet
   * @param failed told of a source that cannot be read any more if there are others beside it; from
   *     there on its place in the files is silent
   * @param monitor asked for cancellation and told about progress at every block
   * @return the lanes, file by file in the order of the plans
   * @throws MediaException if the only source cannot be read any more
   * @throws IOException if a file cannot be written
   */
  public List<WrittenLane> write(
      List<PlannedFile> plans,
      Path folder,
      BiConsumer<LaneSource, MediaException> failed,
      Monitor monitor)
      throws MediaException, IOException {
    List<LaneSource> sources = sources(plans);
    List<LaneFile> files = new ArrayList<>();
    try {
      for (PlannedFile plan : plans) {
        Long timeReference = timeReference(plan);
        files.add(
            LaneFile.create(
                plan,
                folder,
                labels.metadata(plan, clock, timeReference),
                timeReference,
                measured));
      }
      double framesDone = 0;
      double framesInAll = sources.stream().mapToDouble(LaneSource::frameCount).sum();
      for (LaneSource source : sources) {
        List<LaneFile> itsFiles = new ArrayList<>();
        for (int i = 0; i < plans.size(); i++) {
          if (plans.get(i).lanes().stream().anyMatch(lane -> lane.isOf(source))) {
            itsFiles.add(files.get(i));
          }
        }
        Share share = new Share(source, framesDone, framesInAll, monitor);
        try {
          copy(source, itsFiles, share);
        } catch (MediaException e) {
          if (sources.size() == 1) {
            throw e;
          }
          failed.accept(source, e);
        }
        for (LaneFile file : itsFiles) {
          file.end();
        }
        framesDone += source.frameCount();
      }
      FileCrew.all(
          files,
          file -> {
            file.finish(monitor);
            return file;
          });
    } finally {
      for (LaneFile file : files) {
        file.close();
      }
    }
    return FileCrew.all(files, LaneFile::written).stream().flatMap(List::stream).toList();
  }

  /** In the order of time; where that is unknown, there is only one. */
  private static List<LaneSource> sources(List<PlannedFile> plans) {
    List<LaneSource> sources = new ArrayList<>();
    for (PlannedFile plan : plans) {
      for (LaneSource source : plan.sources()) {
        if (sources.stream().noneMatch(other -> other.path().equals(source.path()))) {
          sources.add(source);
        }
      }
    }
    sources.sort(
        Comparator.comparing(LaneSource::offsetSeconds, Comparator.nullsLast(Double::compare)));
    return sources;
  }

  private @Nullable Long timeReference(PlannedFile plan) {
    Lane first = plan.lanes().get(0);
    LaneSource source = first.source();
    int rateHz = plan.format().rateHz();
    Double offset = source.offsetSeconds();
    Long startFrame = plan.startFrameOnReference();
    if (offset == null || startFrame == null) {
      // Without a line-up, a recorder's own stamp is the best there is.
      return source.placement() == null ? source.facts().timeReferenceSamples() : null;
    }
    boolean onGrid = first.resample() || plan.frameCount() != null;
    return clock.samplesSinceMidnight(onGrid ? (double) startFrame / rateHz : offset, rateHz);
  }

  private static void copy(LaneSource source, List<LaneFile> files, Share share)
      throws MediaException, IOException {
    try (SourceReader reader = source.sound().open()) {
      for (LaneFile file : files) {
        file.begin(source, share.monitor());
      }
      if (files.stream().allMatch(LaneFile::takesIntegers)) {
        copyIntegers(reader, files, share);
      } else {
        copyFloats(reader, files, share);
      }
    }
  }

  private static void copyIntegers(SourceReader reader, List<LaneFile> files, Share share)
      throws MediaException, IOException {
    int channels = reader.facts().channelCount();
    copy(
        new int[channels][BLOCK_FRAMES],
        new int[channels][BLOCK_FRAMES],
        (position, sound) -> reader.readIntegersAt(position, sound, BLOCK_FRAMES),
        (sound, got) -> {
          for (LaneFile file : files) {
            file.addIntegers(sound, got);
          }
        },
        share);
  }

  private static void copyFloats(SourceReader reader, List<LaneFile> files, Share share)
      throws MediaException, IOException {
    int channels = reader.facts().channelCount();
    copy(
        new float[channels][BLOCK_FRAMES],
        new float[channels][BLOCK_FRAMES],
        (position, sound) -> reader.readAt(position, sound, BLOCK_FRAMES),
        (sound, got) -> {
          for (LaneFile file : files) {
            file.addFloats(sound, got);
          }
        },
        share);
  }

  /** Fills a block; gives the frames it got. */
  private interface BlockSource<T> {
    int read(long position, T[] sound) throws MediaException;
  }

  /** Takes a block. */
  private interface BlockSink<T> {
    void add(T[] sound, int frames) throws IOException;
  }

  /** Reads one block while the other is written. */
  private static <T> void copy(
      T[] first, T[] second, BlockSource<T> source, BlockSink<T> sink, Share share)
      throws MediaException, IOException {
    T[] next = first;
    T[] other = second;
    long position = 0;
    try (BlockPump pump = new BlockPump()) {
      while (true) {
        T[] sound = next;
        int got = source.read(position, sound);
        if (got <= 0) {
          break;
        }
        share.monitor().checkCancelled();
        pump.write(() -> sink.add(sound, got));
        next = other;
        other = sound;
        position += got;
        share.tell(position);
      }
      pump.await();
    }
  }

  /** One source's part of the work on files that share several. */
  private record Share(LaneSource source, double before, double all, Monitor monitor) {
    void tell(long position) {
      monitor.progress("writing the lanes of " + source.path(), (before + position) / all);
    }
  }
}
