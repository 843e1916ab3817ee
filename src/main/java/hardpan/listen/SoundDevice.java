package hardpan.listen;

/** Where sound goes to be heard. */
@FunctionalInterface
public interface SoundDevice {
  /**
   * Opens a way out for one piece of listening.
   *
   * @throws NoSoundException if there is none
   */
  SoundOut open() throws NoSoundException;
}
