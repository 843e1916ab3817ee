package hardpan.shoot;

import hardpan.base.MediaException;
import hardpan.media.ReaderChoice;
import hardpan.media.SourceReader;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.concurrent.ConcurrentHashMap;
import org.jspecify.annotations.Nullable;

/**
 * Waveforms finer than the ones kept of the decode pass, read from the sound in the background for
 * the stretches that somebody looks at. The newest wish wins; what was read stays in bounded
 * memory. Reading lossy sound goes forward with an open decoder; what it passes on its way is kept
 * in coarse columns. All methods may be called from any thread and return at once.
 */
public final class FineWaves implements AutoCloseable {
  /** Columns of tiles are 1, 4, 16 ... frames long, so that zooming a little reuses them. */
  private static final int STEP = 4;

  private static final int ON_THE_WAY = 1024;
  private static final long MOST_BYTES = 40L << 20;
  private static final int MOST_OPEN = 4;
  private static final int BLOCK_FRAMES = 8192;

  private final Map<String, Path> files;
  private final Runnable news;
  private final TileStore store;
  private final Set<String> failed = ConcurrentHashMap.newKeySet();
  private final Map<String, OpenSource> open = new LinkedHashMap<>(8, 0.75f, true);
  private final Object lock = new Object();

  private List<Want> wants = List.of();
  private long wish;
  private boolean closed;
  private @Nullable Thread thread;

  /**
   * A stretch to be read.
   *
   * @param path the source's path in the report
   * @param fromFrame its first frame; may lie before the sound
   * @param toFrame its end; may lie beyond the sound
   * @param framesInColumn one of the lengths {@link #columnFor} gives
   */
  public record Want(String path, long fromFrame, long toFrame, int framesInColumn) {}

  /** A source that is being read, and where. */
  private static final class OpenSource {
    final SourceReader reader;
    final boolean jumps;
    final @Nullable TileMaker onTheWay;
    long position;

    OpenSource(SourceReader reader, @Nullable TileMaker onTheWay) {
      this.reader = reader;
      this.jumps = reader.facts().codec().startsWith("pcm");
      this.onTheWay = onTheWay;
    }
  }

  private FineWaves(Map<String, Path> files, Runnable news, long mostBytes) {
    this.files = Map.copyOf(files);
    this.news = news;
    this.store = new TileStore(mostBytes);
  }

  /**
   * For the readable sources of a shoot. No thread runs before something is wanted.
   *
   * @param news called on the reading thread whenever a tile has come
   */
  public static FineWaves of(Shoot shoot, Runnable news) {
    return of(shoot, news, MOST_BYTES);
  }

  static FineWaves of(Shoot shoot, Runnable news, long mostBytes) {
    Map<String, Path> files = new HashMap<>();
    for (ShootSource source : shoot.sources()) {
      if (source.isReadable()) {
        files.put(source.path(), source.file());
      }
    }
    return new FineWaves(files, news, mostBytes);
  }

  /** The column length to read for a zoom: the longest one that is no longer than a pixel. */
  public static int columnFor(double framesPerPixel) {
    int frames = 1;
    while (frames < 1 << 20 && frames * (double) STEP <= framesPerPixel) {
      frames *= STEP;
    }
    return frames;
  }

  /**
   * Reads these stretches from now on, the first ones first, in place of those wanted before.
   *
   * @return whether all of them are there already, as far as they can be read
   */
  public boolean want(List<Want> stretches) {
    List<Want> missing = new ArrayList<>();
    for (Want want : stretches) {
      if (files.containsKey(want.path()) && !failed.contains(want.path()) && !isThere(want)) {
        missing.add(want);
      }
    }
    synchronized (lock) {
      if (closed || missing.equals(wants)) {
        return missing.isEmpty();
      }
      wants = missing;
      wish++;
      if (thread == null && !missing.isEmpty()) {
        Thread made = new Thread(this::work, "hardpan-fine-waves");
        made.setDaemon(true);
        thread = made;
        made.start();
      }
      lock.notifyAll();
      return missing.isEmpty();
    }
  }

  private boolean isThere(Want want) {
    return nextMissing(want, firstTile(want)) < 0;
  }

  private static long framesInTile(Want want) {
    return (long) want.framesInColumn() * WaveTile.COLUMNS;
  }

  private static long firstTile(Want want) {
    return Math.max(0, want.fromFrame()) / framesInTile(want);
  }

  /** The first tile from a number on that is wanted and not there; -1 if there is none. */
  private long nextMissing(Want want, long from) {
    for (long tile = from; tile * framesInTile(want) < want.toFrame(); tile++) {
      WaveTile there = store.get(want.path(), want.framesInColumn(), tile);
      if (there == null) {
        return tile;
      }
      if (there.columnCount() < WaveTile.COLUMNS) {
        return -1;
      }
    }
    return -1;
  }

  /**
   * What has been read of a channel, pixel by pixel: in the columns of the zoom, else in the next
   * coarser ones that are there. A pixel takes in every column it touches.
   *
   * @param firstFrame where the first pixel begins; may lie before the sound
   * @param framesPerPixel above 0
   * @param coarsest only columns shorter than this are taken
   * @param pixels how many
   * @param low smallest samples; only pixels of which something was read are changed
   * @param high largest samples, as {@code low}
   * @param columns filled with the column length each pixel was taken from; 0 for none
   */
  public void extremes(
      String path,
      int channel,
      double firstFrame,
      double framesPerPixel,
      int coarsest,
      int pixels,
      float[] low,
      float[] high,
      int[] columns) {
    Arrays.fill(columns, 0, pixels, 0);
    double end = firstFrame + pixels * framesPerPixel;
    for (int width = columnFor(framesPerPixel); width < coarsest; width *= STEP) {
      double framesInTile = (double) width * WaveTile.COLUMNS;
      long tile = (long) Math.max(0, Math.floor(firstFrame / framesInTile));
      for (; tile * framesInTile < end; tile++) {
        WaveTile there = store.get(path, width, tile);
        if (there != null && channel < there.minima().length) {
          double first = firstFrame / width - there.firstColumn();
          take(there, channel, first, framesPerPixel / width, pixels, low, high, columns);
        }
      }
    }
  }

  /** Takes a tile's columns into the pixels that touch it and have nothing finer. */
  private static void take(
      WaveTile tile,
      int channel,
      double firstColumn,
      double columnsPerPixel,
      int pixels,
      float[] low,
      float[] high,
      int[] columns) {
    float[] minima = tile.minima()[channel];
    float[] maxima = tile.maxima()[channel];
    int from = (int) Math.max(0, Math.floor(-firstColumn / columnsPerPixel) - 1);
    int until =
        (int) Math.min(pixels, Math.ceil((minima.length - firstColumn) / columnsPerPixel) + 1);
    for (int pixel = from; pixel < until; pixel++) {
      int known = columns[pixel];
      double left = firstColumn + pixel * columnsPerPixel;
      int first = (int) Math.max(0, Math.floor(left));
      double touched = Math.max(Math.floor(left) + 1, Math.ceil(left + columnsPerPixel));
      int end = (int) Math.min(minima.length, touched);
      if (first >= end || (known != 0 && known != tile.framesInColumn())) {
        continue;
      }
      float least = known == 0 ? minima[first] : Math.min(low[pixel], minima[first]);
      float most = known == 0 ? maxima[first] : Math.max(high[pixel], maxima[first]);
      for (int column = first + 1; column < end; column++) {
        least = Math.min(least, minima[column]);
        most = Math.max(most, maxima[column]);
      }
      low[pixel] = least;
      high[pixel] = most;
      columns[pixel] = tile.framesInColumn();
    }
  }

  /**
   * Single samples, as far as they were read.
   *
   * @param firstFrame may lie before the sound
   * @param samples filled; NaN where nothing was read or nothing is
   */
  public void samples(String path, int channel, long firstFrame, float[] samples) {
    Arrays.fill(samples, Float.NaN);
    WaveTile tile = null;
    for (int i = 0; i < samples.length; i++) {
      long frame = firstFrame + i;
      if (frame < 0) {
        continue;
      }
      long within = frame % WaveTile.COLUMNS;
      if (tile == null || within == 0) {
        tile = store.get(path, 1, frame / WaveTile.COLUMNS);
        if (tile == null) {
          i += (int) Math.min(samples.length, WaveTile.COLUMNS - within - 1);
          continue;
        }
      }
      if (channel < tile.minima().length && within < tile.columnCount()) {
        samples[i] = tile.minima()[channel][(int) within];
      }
    }
  }

  /** Whether a source's sound could not be read any more. */
  public boolean isLost(String path) {
    return failed.contains(path);
  }

  long bytes() {
    return store.bytes();
  }

  /** Stops reading and closes what is open, soon. */
  @Override
  public void close() {
    synchronized (lock) {
      closed = true;
      wants = List.of();
      wish++;
      lock.notifyAll();
    }
  }

  private void work() {
    try {
      long served = -1;
      while (true) {
        List<Want> now;
        synchronized (lock) {
          while (!closed && (wish == served || wants.isEmpty())) {
            lock.wait();
          }
          if (closed) {
            return;
          }
          served = wish;
          now = wants;
        }
        serve(now, served);
      }
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    } finally {
      open.values().forEach(source -> source.reader.close());
      open.clear();
    }
  }

  private boolean isNewest(long served) {
    synchronized (lock) {
      return !closed && wish == served;
    }
  }

  private void serve(List<Want> now, long served) {
    for (Want want : now) {
      try {
        if (!failed.contains(want.path()) && !read(want, served)) {
          return;
        }
      } catch (MediaException | RuntimeException e) {
        // The coarse picture stays; what is wrong with the file is told where it is worked with.
        failed.add(want.path());
        news.run();
      }
    }
  }

  /** Reads what is missing of a stretch; false if something newer is wanted. */
  private boolean read(Want want, long served) throws MediaException {
    Path file = files.get(want.path());
    if (file == null) {
      return true;
    }
    long framesInTile = framesInTile(want);
    long tile = nextMissing(want, firstTile(want));
    if (tile < 0) {
      return true;
    }
    OpenSource source = opened(want.path(), file);
    TileMaker maker = maker(want.path(), source, want.framesInColumn());
    float[][] block = new float[source.reader.facts().channelCount()][BLOCK_FRAMES];
    while (tile >= 0) {
      long start = tile * framesInTile;
      // A decoder that has passed this place begins anew; one that is before it goes on.
      long at = source.jumps || source.position > start ? startOf(source, start) : source.position;
      long end = start + framesInTile;
      while (at < end) {
        if (!isNewest(served)) {
          return false;
        }
        long border = at < start ? start : end;
        int wanted = (int) Math.min(BLOCK_FRAMES, border - at);
        int got = source.reader.readAt(at, block, wanted);
        if (source.onTheWay != null) {
          source.onTheWay.add(at, block, got);
        }
        if (at >= start) {
          maker.add(at, block, got);
        }
        at += got;
        source.position = at;
        if (got < wanted) {
          maker.end();
          if (source.onTheWay != null) {
            source.onTheWay.end();
          }
          markEnd(want, tile);
          news.run();
          return true;
        }
      }
      news.run();
      tile = nextMissing(want, tile + 1);
    }
    return true;
  }

  /** The sound ended before this tile began: nobody needs to look there again. */
  private void markEnd(Want want, long tile) {
    if (store.get(want.path(), want.framesInColumn(), tile) == null) {
      float[][] none = new float[0][];
      long column = tile * WaveTile.COLUMNS;
      store.put(want.path(), new WaveTile(want.framesInColumn(), column, none, none));
    }
  }

  private static long startOf(OpenSource source, long start) {
    return source.jumps ? start : 0;
  }

  private TileMaker maker(String path, OpenSource source, int framesInColumn) {
    int channels = source.reader.facts().channelCount();
    return new TileMaker(framesInColumn, channels, tile -> store.put(path, tile));
  }

  private OpenSource opened(String path, Path file) throws MediaException {
    OpenSource there = open.get(path);
    if (there != null) {
      return there;
    }
    if (open.size() >= MOST_OPEN) {
      var oldest = open.entrySet().iterator();
      oldest.next().getValue().reader.close();
      oldest.remove();
    }
    SourceReader reader = FiniteSound.open(file, ReaderChoice.BEST);
    boolean compressed = !reader.facts().codec().startsWith("pcm");
    int channels = reader.facts().channelCount();
    OpenSource made =
        new OpenSource(
            reader,
            compressed ? new TileMaker(ON_THE_WAY, channels, tile -> store.put(path, tile)) : null);
    open.put(path, made);
    return made;
  }
}
