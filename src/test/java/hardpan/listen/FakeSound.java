package hardpan.listen;

import java.util.Arrays;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.TimeUnit;
import java.util.function.LongConsumer;

/** A sound device that keeps what would be heard. */
final class FakeSound implements SoundDevice {
  final CompletableFuture<PlayerState> end = new CompletableFuture<>();
  private final int rateHz;
  private float[] left = new float[1 << 16];
  private float[] right = new float[1 << 16];
  private int count;
  private volatile LongConsumer onWrite = frames -> {};

  FakeSound(int rateHz) {
    this.rateHz = rateHz;
  }

  /** Does something after each block, told how many frames were taken. */
  void onWrite(LongConsumer action) {
    onWrite = action;
  }

  /** Hears something through to its end. */
  static FakeSound hear(int rateHz, Listening listening) throws Exception {
    FakeSound sound = new FakeSound(rateHz);
    try (Player player = new Player(sound, sound::watch)) {
      player.play(listening);
      sound.end.get(60, TimeUnit.SECONDS);
    }
    return sound;
  }

  void watch(PlayerState state) {
    if (state.kind() == PlayerState.Kind.SILENT || state.kind() == PlayerState.Kind.FAILED) {
      end.complete(state);
    }
  }

  /** What came, without the delay of the limiter. */
  float[] left() {
    return Arrays.copyOfRange(left, new Limiter(rateHz).delayFrames(), count);
  }

  float[] right() {
    return Arrays.copyOfRange(right, new Limiter(rateHz).delayFrames(), count);
  }

  @Override
  public SoundOut open() {
    return new SoundOut() {
      @Override
      public int rateHz() {
        return rateHz;
      }

      @Override
      public void write(float[] l, float[] r, int frames) {
        if (count + frames > left.length) {
          left = Arrays.copyOf(left, 2 * (count + frames));
          right = Arrays.copyOf(right, 2 * (count + frames));
        }
        System.arraycopy(l, 0, left, count, frames);
        System.arraycopy(r, 0, right, count, frames);
        count += frames;
        onWrite.accept(count);
      }

      @Override
      public long heardFrames() {
        return count;
      }

      @Override
      public void drain() {}

      @Override
      public void close() {}
    };
  }
}
