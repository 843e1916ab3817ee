package hardpan.media;

import hardpan.base.MediaException;
import java.nio.file.Path;
import java.util.List;

/**
 * Files that hold one stream of packets, cut up: the encoder ran on from one to the next. Decoded
 * one by one, each file but the first would lack the packet that its own first one overlaps with.
 *
 * @param files in order, at least one
 * @param byBytes whether the stream was cut anywhere between bytes, as a transport stream may be,
 *     so that the files are read as one; otherwise each file has an index of its own and the
 *     packets follow each other
 */
record FfmpegChain(List<Path> files, boolean byBytes) {
  /** Copies the list. */
  FfmpegChain {
    files = List.copyOf(files);
  }

  /** A file by itself. */
  static FfmpegChain of(Path file) {
    return new FfmpegChain(List.of(file), false);
  }

  Path first() {
    return files.get(0);
  }

  boolean isOneFile() {
    return files.size() == 1;
  }

  /** So many times the libraries have to open something to read it all. */
  int links() {
    return byBytes ? 1 : files.size();
  }

  FfmpegInput open(int link) throws MediaException {
    return byBytes && !isOneFile()
        ? FfmpegInput.openAsOne(files)
        : FfmpegInput.open(files.get(link));
  }
}
