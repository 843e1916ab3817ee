package hardpan.shoot;

import hardpan.base.MediaAccessException;
import hardpan.base.MediaException;
import hardpan.media.BlockListener;
import hardpan.signal.SeamTest;
import java.io.BufferedInputStream;
import java.io.BufferedOutputStream;
import java.io.DataInputStream;
import java.io.DataOutputStream;
import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.file.Files;
import java.nio.file.Path;

/**
 * The first and the last frames of a source, kept from its decode pass in a scratch file: what is
 * needed to see whether another source goes on where this one ends.
 */
final class EdgeSound {
  /** Frames at either end; a sixth of a second at 48 kHz. */
  static final int FRAMES = SeamTest.USEFUL_FRAMES;

  /** Of more channels the first ones do. */
  static final int MOST_CHANNELS = 8;

  private static final int MOST_BYTES = 2 * 4 * FRAMES * MOST_CHANNELS + 8;

  /** Of a source whose ends are not at hand; reading it fails. */
  static final EdgeSound NONE = new EdgeSound(Path.of("no-edges"));

  private final Path file;

  private EdgeSound(Path file) {
    this.file = file;
  }

  /** Collects both ends while the sound streams by. */
  static final class Listener implements BlockListener {
    private final float[][] head;
    private final float[][] ring;
    private long frames;

    Listener(int channelCount) {
      int kept = Math.min(channelCount, MOST_CHANNELS);
      head = new float[kept][FRAMES];
      ring = new float[kept][FRAMES];
    }

    @Override
    public void onBlock(long startFrame, float[][] planar, int frameCount) {
      for (int c = 0; c < head.length; c++) {
        for (int i = 0; i < frameCount; i++) {
          long at = frames + i;
          ring[c][(int) (at % FRAMES)] = planar[c][i];
          if (at < FRAMES) {
            head[c][(int) at] = planar[c][i];
          }
        }
      }
      frames += frameCount;
    }

    /** Writes what was collected. */
    EdgeSound finish(Path file) throws MediaException {
      int count = (int) Math.min(FRAMES, frames);
      try (DataOutputStream out =
          new DataOutputStream(new BufferedOutputStream(Files.newOutputStream(file)))) {
        out.writeInt(head.length);
        out.writeInt(count);
        for (int c = 0; c < head.length; c++) {
          for (int i = 0; i < count; i++) {
            out.writeFloat(head[c][i]);
          }
          for (long at = frames - count; at < frames; at++) {
            out.writeFloat(ring[c][(int) (at % FRAMES)]);
          }
        }
      } catch (IOException e) {
        throw scratchFailure(e);
      }
      return new EdgeSound(file);
    }
  }

  /** From the bytes that {@link #bytes} gave. */
  static EdgeSound of(byte[] bytes, Path file) throws IOException {
    Files.write(file, bytes);
    return new EdgeSound(file);
  }

  /** Everything, for keeping. */
  byte[] bytes() throws MediaException {
    try {
      return Files.readAllBytes(file);
    } catch (IOException e) {
      throw scratchFailure(e);
    }
  }

  /** The first frames, one array a channel. */
  float[][] head() throws MediaException {
    return read(true);
  }

  /** The last frames, one array a channel. */
  float[][] tail() throws MediaException {
    return read(false);
  }

  private float[][] read(boolean first) throws MediaException {
    try (DataInputStream in =
        new DataInputStream(new BufferedInputStream(Files.newInputStream(file)))) {
      int channels = in.readInt();
      int count = in.readInt();
      if (!isPlausible(channels, count)) {
        throw new IOException("edges of " + channels + " channels, " + count + " frames");
      }
      float[][] heads = new float[channels][count];
      float[][] tails = new float[channels][count];
      for (int c = 0; c < channels; c++) {
        for (int i = 0; i < count; i++) {
          heads[c][i] = in.readFloat();
        }
        for (int i = 0; i < count; i++) {
          tails[c][i] = in.readFloat();
        }
      }
      return first ? heads : tails;
    } catch (IOException e) {
      throw scratchFailure(e);
    }
  }

  /** Whether kept bytes are whole. */
  static boolean isWhole(byte[] bytes) {
    if (bytes.length < 8 || bytes.length > MOST_BYTES) {
      return false;
    }
    ByteBuffer buffer = ByteBuffer.wrap(bytes);
    int channels = buffer.getInt();
    int count = buffer.getInt();
    return isPlausible(channels, count) && bytes.length == 8 + 8L * channels * count;
  }

  private static boolean isPlausible(int channels, int count) {
    return channels >= 1 && channels <= MOST_CHANNELS && count >= 1 && count <= FRAMES;
  }

  private static MediaAccessException scratchFailure(Exception cause) {
    return new MediaAccessException(
        "The temporary folder cannot be used; free some space there and try again.", cause);
  }
}
