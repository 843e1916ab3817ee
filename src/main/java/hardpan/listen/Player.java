package hardpan.listen;

import hardpan.base.MediaException;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.RejectedExecutionException;
import java.util.function.Consumer;
import org.jspecify.annotations.Nullable;

/**
 * Plays one {@link Listening} at a time on a thread of its own. All methods return at once and may
 * be called from any thread.
 *
 * <p>Sound comes up over a tenth of a second, changes of volume and the end take a twentieth, and
 * everything passes a {@link Limiter}.
 */
public final class Player implements AutoCloseable {
  private static final int BLOCK_FRAMES = 1024;
  private static final int RISES_PER_SECOND = 10;
  private static final int CHANGES_PER_SECOND = 20;
  private static final double SHORTEST_SECONDS = 0.25;

  private final SoundDevice device;
  private final Consumer<PlayerState> watcher;
  private final ExecutorService thread =
      Executors.newSingleThreadExecutor(
          work -> {
            Thread made = new Thread(work, "hardpan-listen");
            made.setDaemon(true);
            return made;
          });
  private volatile double volumeDb;
  private volatile @Nullable Round current;

  /**
   * A player.
   *
   * @param device where the sound goes
   * @param watcher told of every change, on the player's thread
   */
  public Player(SoundDevice device, Consumer<PlayerState> watcher) {
    this.device = device;
    this.watcher = watcher;
  }

  /** Plays; what plays now ends first. */
  public synchronized void play(Listening listening) {
    stop();
    Round next = new Round(listening);
    current = next;
    try {
      thread.execute(next);
    } catch (RejectedExecutionException e) {
      // The player is closed; nobody listens any more.
      current = null;
    }
  }

  /** Ends what plays; the sound goes down within a twentieth of a second. */
  public synchronized void stop() {
    Round round = current;
    if (round != null) {
      round.stopped = true;
    }
  }

  /**
   * Sets the volume, for now and later.
   *
   * @param db above or below the safe level; held within {@link SafeLevel#LEAST_VOLUME_DB} and
   *     {@link SafeLevel#MOST_VOLUME_DB}
   */
  public void setVolumeDb(double db) {
    volumeDb = db;
  }

  /** The instant that is heard now; NaN while nothing is heard. */
  public double heardSeconds() {
    Round round = current;
    return round == null ? Double.NaN : round.heardSeconds();
  }

  /** Stops for good. */
  @Override
  public void close() {
    stop();
    thread.shutdown();
  }

  private final class Round implements Runnable {
    private final Listening listening;
    private volatile boolean stopped;
    private volatile @Nullable SoundOut out;
    private volatile int delayFrames;

    Round(Listening listening) {
      this.listening = listening;
    }

    double heardSeconds() {
      SoundOut now = out;
      if (now == null) {
        return Double.NaN;
      }
      long frames = Math.max(0, now.heardFrames() - delayFrames);
      return listening.startSeconds() + (double) frames / now.rateHz();
    }

    @Override
    public void run() {
      PlayerState end = PlayerState.SILENT;
      try {
        if (!stopped) {
          watcher.accept(new PlayerState(PlayerState.Kind.FINDING, ""));
          playThrough();
        }
      } catch (NoSoundException e) {
        end = new PlayerState(PlayerState.Kind.FAILED, e.sentence());
      } catch (MediaException e) {
        end = new PlayerState(PlayerState.Kind.FAILED, e.sentence());
      } catch (RuntimeException e) {
        // Listening is never worth more than the work it serves.
        end = new PlayerState(PlayerState.Kind.FAILED, "Listening failed: " + e + ".");
      } finally {
        out = null;
        finished(this, end);
      }
    }

    private void playThrough() throws NoSoundException, MediaException {
      List<SourceStream> streams = new ArrayList<>();
      try (SoundOut opened = device.open()) {
        for (HeardSource source : listening.sources()) {
          streams.add(
              new SourceStream(source, listening.startSeconds(), opened.rateHz(), BLOCK_FRAMES));
        }
        for (SourceStream stream : streams) {
          stream.find(() -> stopped);
        }
        if (!stopped) {
          sound(opened, streams);
        }
      } finally {
        streams.forEach(SourceStream::close);
      }
    }

    private void sound(SoundOut opened, List<SourceStream> streams)
        throws NoSoundException, MediaException {
      int rateHz = opened.rateHz();
      Limiter limiter = new Limiter(rateHz);
      delayFrames = limiter.delayFrames();
      out = opened;
      watcher.accept(new PlayerState(PlayerState.Kind.PLAYING, ""));
      Ramp ramp = new Ramp();
      int change = rateHz / CHANGES_PER_SECOND;
      double frames = Math.max(SHORTEST_SECONDS, listening.lengthSeconds()) * rateHz;
      float[] left = new float[BLOCK_FRAMES];
      float[] right = new float[BLOCK_FRAMES];
      long done = 0;
      boolean over = false;
      ramp.aimAt(SafeLevel.volumeFactor(volumeDb), rateHz / RISES_PER_SECOND);
      while (!over) {
        Arrays.fill(left, 0);
        Arrays.fill(right, 0);
        for (SourceStream stream : streams) {
          stream.addTo(left, right, BLOCK_FRAMES);
        }
        boolean ending = stopped || done + change >= frames;
        double aim = ending ? 0 : SafeLevel.volumeFactor(volumeDb);
        if (done >= rateHz / RISES_PER_SECOND || ending) {
          ramp.aimAt(aim, change);
        }
        for (int i = 0; i < BLOCK_FRAMES; i++) {
          double factor = ramp.next();
          left[i] *= (float) factor;
          right[i] *= (float) factor;
        }
        limiter.process(left, right, BLOCK_FRAMES);
        opened.write(left, right, BLOCK_FRAMES);
        done += BLOCK_FRAMES;
        over = (ending && ramp.isSilent()) || streams.stream().allMatch(SourceStream::isOver);
      }
      // What the limiter still holds.
      Arrays.fill(left, 0);
      Arrays.fill(right, 0);
      int rest = Math.min(BLOCK_FRAMES, limiter.delayFrames());
      limiter.process(left, right, rest);
      opened.write(left, right, rest);
      opened.drain();
    }
  }

  private void finished(Round round, PlayerState end) {
    synchronized (this) {
      if (current != round) {
        // The next one has its own say.
        return;
      }
      current = null;
    }
    watcher.accept(end);
  }
}
