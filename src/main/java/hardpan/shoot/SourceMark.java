package hardpan.shoot;

import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.channels.FileChannel;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.nio.file.attribute.BasicFileAttributes;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.util.HexFormat;
import java.util.concurrent.TimeUnit;
import org.jspecify.annotations.Nullable;

/**
 * What a source file is recognised by without reading all of it. Two files that agree in all of
 * this are taken to be the same; a file that was changed in place at other bytes than the sampled
 * ones, and whose time was then set back, would not be noticed.
 *
 * @param path absolute path
 * @param size in bytes
 * @param modifiedNanos time of the last change, nanoseconds since 1970
 * @param sample SHA-256, in hexadecimal, of the first, the middle and the last {@value
 *     #SAMPLE_BYTES} bytes
 */
record SourceMark(String path, long size, long modifiedNanos, String sample) {
  static final int SAMPLE_BYTES = 64 * 1024;

  /** The mark of a file, or null if there is no readable file. */
  static @Nullable SourceMark of(Path file) {
    Path absolute = file.toAbsolutePath().normalize();
    try {
      BasicFileAttributes attributes = Files.readAttributes(absolute, BasicFileAttributes.class);
      if (!attributes.isRegularFile()) {
        return null;
      }
      return new SourceMark(
          absolute.toString(),
          attributes.size(),
          attributes.lastModifiedTime().to(TimeUnit.NANOSECONDS),
          sample(absolute, attributes.size()));
    } catch (IOException e) {
      return null;
    }
  }

  /** The file's own name, for telling a moved file from a copy under another name. */
  String fileName() {
    return fileName(path);
  }

  static String fileName(String path) {
    Path name = Path.of(path).getFileName();
    return name == null ? path : name.toString();
  }

  private static String sample(Path file, long size) throws IOException {
    MessageDigest digest;
    try {
      digest = MessageDigest.getInstance("SHA-256");
    } catch (NoSuchAlgorithmException e) {
      throw new IllegalStateException("every Java has SHA-256", e);
    }
    ByteBuffer buffer = ByteBuffer.allocate(SAMPLE_BYTES);
    try (FileChannel channel = FileChannel.open(file, StandardOpenOption.READ)) {
      long[] starts = {0, Math.max(0, (size - SAMPLE_BYTES) / 2), Math.max(0, size - SAMPLE_BYTES)};
      for (long start : starts) {
        buffer.clear();
        int got;
        do {
          got = channel.read(buffer, start + buffer.position());
        } while (got >= 0 && buffer.hasRemaining());
        digest.update(buffer.flip());
      }
    }
    return HexFormat.of().formatHex(digest.digest());
  }
}
