package hardpan.listen;

/** An open way out for stereo sound. Written by one thread; the rest may be asked by any. */
public interface SoundOut extends AutoCloseable {
  /** Frames a second; 44,100 or more. */
  int rateHz();

  /**
   * Takes the next frames; waits while there is no room.
   *
   * @param left full scale 1.0, within it
   * @param right as long
   * @param frames how many of them, at least 0
   * @throws NoSoundException if the device takes nothing any more
   */
  void write(float[] left, float[] right, int frames) throws NoSoundException;

  /** Frames that have been heard so far. */
  long heardFrames();

  /** Waits until everything has been heard, or for a second at most. */
  void drain();

  /** Stops at once. Does nothing the second time. */
  @Override
  void close();
}
