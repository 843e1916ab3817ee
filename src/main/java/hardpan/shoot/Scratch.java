package hardpan.shoot;

import hardpan.base.MediaAccessException;
import java.io.IOException;
import java.nio.file.DirectoryStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.concurrent.atomic.AtomicInteger;

/** A temporary folder for one run of the job; gone when it is closed. */
public final class Scratch implements AutoCloseable {
  private final Path folder;
  private final AtomicInteger next = new AtomicInteger();

  private Scratch(Path folder) {
    this.folder = folder;
  }

  /**
   * Makes one.
   *
   * @throws ShootException if the temporary folder cannot be used
   */
  public static Scratch create() throws ShootException {
    try {
      return new Scratch(Files.createTempDirectory("hardpan-"));
    } catch (IOException e) {
      throw new ShootException(
          ShootException.Reason.NOTHING_DONE,
          "The temporary folder cannot be used; free some space there and try again.",
          e);
    }
  }

  /** A path for new files; names made from it do not clash. */
  Path prefix() {
    return folder.resolve("s" + next.incrementAndGet());
  }

  @Override
  public void close() throws MediaAccessException {
    try (DirectoryStream<Path> files = Files.newDirectoryStream(folder)) {
      for (Path file : files) {
        Files.deleteIfExists(file);
      }
      Files.deleteIfExists(folder);
    } catch (IOException e) {
      throw new MediaAccessException(
          "The temporary folder " + folder + " could not be removed.", e);
    }
  }
}
