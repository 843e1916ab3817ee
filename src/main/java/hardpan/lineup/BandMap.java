package hardpan.lineup;

import hardpan.base.MediaAccessException;
import hardpan.base.MediaException;
import hardpan.signal.BandEnergies;
import java.io.BufferedOutputStream;
import java.io.IOException;
import java.io.OutputStream;
import java.io.UncheckedIOException;
import java.nio.ByteBuffer;
import java.nio.channels.FileChannel;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.util.Arrays;
import org.jspecify.annotations.Nullable;

/**
 * The band-energy map of one channel, kept in a scratch file so that a day of recordings does not
 * have to fit into memory. Written once during the decode pass, then read by position.
 */
public final class BandMap {
  private final Path file;
  private long frames;
  private @Nullable MapSpectra spectra;

  private BandMap(Path file) {
    this.file = file;
  }

  /**
   * A map that lies ready in a file, as {@link #read} of all its frames gives it.
   *
   * @param file whole frames, one after the other
   * @throws MediaAccessException if there is no such file
   */
  public static BandMap of(Path file) throws MediaAccessException {
    BandMap map = new BandMap(file);
    try {
      map.frames = Files.size(file) / BandEnergies.BANDS;
    } catch (IOException e) {
      throw scratchFailure(e);
    }
    return map;
  }

  /** Writes a map while the sound streams by. */
  public static final class Writer implements AutoCloseable {
    private final BandMap map;
    private final OutputStream out;
    private final BandEnergies energies;

    /**
     * Starts a map.
     *
     * @param file scratch file, created
     * @param rateHz sample rate of the channel
     * @throws MediaAccessException if the scratch file cannot be written
     */
    public Writer(Path file, int rateHz) throws MediaAccessException {
      this.map = new BandMap(file);
      try {
        this.out = new BufferedOutputStream(Files.newOutputStream(file), 1 << 15);
      } catch (IOException e) {
        throw scratchFailure(e);
      }
      this.energies = new BandEnergies(rateHz, this::write);
    }

    private void write(byte[] values) {
      try {
        out.write(values);
        map.frames++;
      } catch (IOException e) {
        throw new UncheckedIOException(e);
      }
    }

    /** Adds sound. */
    public void add(float[] samples, int frameCount) {
      energies.add(samples, 0, frameCount);
    }

    /**
     * Ends the map.
     *
     * @throws MediaAccessException if the scratch file cannot be written
     */
    public BandMap finish() throws MediaAccessException {
      try {
        energies.finish();
        out.close();
      } catch (IOException e) {
        throw scratchFailure(e);
      } catch (UncheckedIOException e) {
        throw scratchFailure(e);
      }
      return map;
    }

    @Override
    public void close() throws MediaAccessException {
      try {
        out.close();
      } catch (IOException e) {
        throw scratchFailure(e);
      }
    }
  }

  static MediaAccessException scratchFailure(Exception cause) {
    return new MediaAccessException(
        "The temporary folder cannot be used; free some space there and try again.", cause);
  }

  /**
   * The map's spectra for searching; made at the first call, in a scratch file beside the map's.
   *
   * @throws MediaException if a scratch file cannot be read or written
   */
  synchronized MapSpectra spectra() throws MediaException {
    MapSpectra made = spectra;
    if (made == null) {
      made = MapSpectra.of(this, file.resolveSibling(file.getFileName() + ".spectra"));
      spectra = made;
    }
    return made;
  }

  /** Number of frames, {@link BandEnergies#FRAMES_PER_SECOND} a second. */
  public long frames() {
    return frames;
  }

  /**
   * Reads frames; positions outside the map read as its own lowest value.
   *
   * @param startFrame first frame, may be negative
   * @param count how many
   * @return {@code count} times {@link BandEnergies#BANDS} values, frame by frame
   * @throws MediaException if the scratch file cannot be read
   */
  public byte[] read(long startFrame, int count) throws MediaException {
    byte[] values = new byte[count * BandEnergies.BANDS];
    Arrays.fill(values, Byte.MIN_VALUE);
    long from = Math.max(0, startFrame);
    long to = Math.min(frames, startFrame + count);
    if (from >= to) {
      return values;
    }
    int at = (int) (from - startFrame) * BandEnergies.BANDS;
    int bytes = (int) (to - from) * BandEnergies.BANDS;
    try (FileChannel channel = FileChannel.open(file, StandardOpenOption.READ)) {
      ByteBuffer buffer = ByteBuffer.wrap(values, at, bytes);
      long position = from * BandEnergies.BANDS;
      while (buffer.hasRemaining()) {
        int got = channel.read(buffer, position);
        if (got < 0) {
          break;
        }
        position += got;
      }
    } catch (IOException e) {
      throw scratchFailure(e);
    }
    return values;
  }
}
