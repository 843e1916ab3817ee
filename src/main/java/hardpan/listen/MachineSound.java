package hardpan.listen;

import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicLong;
import java.util.concurrent.locks.LockSupport;
import javax.sound.sampled.AudioFormat;
import javax.sound.sampled.AudioSystem;
import javax.sound.sampled.DataLine;
import javax.sound.sampled.LineUnavailableException;
import javax.sound.sampled.SourceDataLine;

/** The machine's own sound system: 16 bits, stereo, 48 or 44.1 kHz. */
public final class MachineSound implements SoundDevice {
  private static final int[] RATES_HZ = {48_000, 44_100};
  private static final int BYTES_PER_FRAME = 4;

  /** Long enough for a busy machine, short enough that stopping feels immediate. */
  private static final double BUFFER_SECONDS = 0.15;

  /** For one window. */
  public MachineSound() {}

  @Override
  public SoundOut open() throws NoSoundException {
    Throwable why = null;
    for (int rateHz : RATES_HZ) {
      try {
        AudioFormat format = new AudioFormat(rateHz, 16, 2, true, false);
        if (!AudioSystem.isLineSupported(new DataLine.Info(SourceDataLine.class, format))) {
          continue;
        }
        SourceDataLine line = AudioSystem.getSourceDataLine(format);
        int bufferFrames = (int) (BUFFER_SECONDS * rateHz);
        line.open(format, bufferFrames * BYTES_PER_FRAME);
        line.start();
        return new Line(line, rateHz);
      } catch (LineUnavailableException e) {
        why = e;
      } catch (IllegalArgumentException | SecurityException | LinkageError e) {
        // What sound systems throw where there is none, or none that lets itself be used.
        why = e;
      }
    }
    throw new NoSoundException(
        why instanceof LineUnavailableException
            ? "The sound device is in use by another program; end that one and try again."
            : "This computer has no sound device that can be used; nothing can be heard here.",
        why);
  }

  private static final class Line implements SoundOut {
    private static final long PATIENCE_NANOS = TimeUnit.SECONDS.toNanos(2);
    private static final long NAP_NANOS = TimeUnit.MILLISECONDS.toNanos(4);
    private final SourceDataLine line;
    private final int rateHz;
    private byte[] bytes = new byte[0];
    private final AtomicLong written = new AtomicLong();

    Line(SourceDataLine line, int rateHz) {
      this.line = line;
      this.rateHz = rateHz;
    }

    @Override
    public int rateHz() {
      return rateHz;
    }

    @Override
    public void write(float[] left, float[] right, int frames) throws NoSoundException {
      if (bytes.length < frames * BYTES_PER_FRAME) {
        bytes = new byte[frames * BYTES_PER_FRAME];
      }
      for (int i = 0; i < frames; i++) {
        put(4 * i, left[i]);
        put(4 * i + 2, right[i]);
      }
      int from = 0;
      int end = frames * BYTES_PER_FRAME;
      long lastTaken = System.nanoTime();
      while (from < end) {
        // Never more than there is room for: a device that was pulled out would block for ever.
        int room = Math.min(end - from, line.available() / BYTES_PER_FRAME * BYTES_PER_FRAME);
        int taken = room > 0 ? line.write(bytes, from, room) : 0;
        if (taken > 0) {
          from += taken;
          lastTaken = System.nanoTime();
        } else if (!line.isOpen() || System.nanoTime() - lastTaken > PATIENCE_NANOS) {
          throw new NoSoundException(
              "The sound device takes no more sound; see whether it is still connected.", null);
        } else {
          LockSupport.parkNanos(NAP_NANOS);
        }
      }
      written.addAndGet(frames);
    }

    private void put(int at, float sample) {
      int value = Math.round(Math.max(-1, Math.min(1, sample)) * 32_767);
      bytes[at] = (byte) value;
      bytes[at + 1] = (byte) (value >> 8);
    }

    @Override
    public long heardFrames() {
      return Math.min(written.get(), line.getLongFramePosition());
    }

    @Override
    public void drain() {
      long end = System.nanoTime() + TimeUnit.SECONDS.toNanos(1);
      while (line.isOpen() && heardFrames() < written.get() && System.nanoTime() < end) {
        LockSupport.parkNanos(NAP_NANOS);
      }
    }

    @Override
    public void close() {
      if (line.isOpen()) {
        line.stop();
        line.flush();
        line.close();
      }
    }
  }
}
