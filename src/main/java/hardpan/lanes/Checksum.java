package hardpan.lanes;

import java.io.IOException;
import java.io.InputStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.util.HexFormat;

/** SHA-256 of files. */
public final class Checksum {
  private Checksum() {}

  /**
   * Reads a file through.
   *
   * @return 64 lower-case hexadecimal digits
   * @throws IOException if it cannot be read
   */
  public static String sha256(Path file) throws IOException {
    return sha256(file, (bytes, count) -> {});
  }

  /** Sees the bytes of a file go by. */
  @FunctionalInterface
  public interface Onlooker {
    /** Takes the next bytes, the first {@code count} of an array that is used again. */
    void see(byte[] bytes, int count);
  }

  /**
   * As {@link #sha256(Path)}, and shows the bytes to somebody else too.
   *
   * @throws IOException if it cannot be read
   */
  public static String sha256(Path file, Onlooker onlooker) throws IOException {
    try (InputStream in = Files.newInputStream(file)) {
      MessageDigest digest = MessageDigest.getInstance("SHA-256");
      byte[] buffer = new byte[1 << 18];
      for (int got = in.read(buffer); got >= 0; got = in.read(buffer)) {
        digest.update(buffer, 0, got);
        onlooker.see(buffer, got);
      }
      return HexFormat.of().formatHex(digest.digest());
    } catch (NoSuchAlgorithmException e) {
      throw new IllegalStateException("every Java platform has SHA-256", e);
    }
  }
}
