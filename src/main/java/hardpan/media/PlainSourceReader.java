package hardpan.media;

import hardpan.base.MediaException;
import hardpan.wave.BroadcastExtension;
import hardpan.wave.PlainSoundHeader;
import hardpan.wave.PlainSoundReader;
import hardpan.wave.WaveFormat;
import java.nio.file.Path;
import java.util.Collections;
import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * Reads AIFF, AIFF-C, Core Audio and Wave64 recordings with uncompressed sound without the native
 * libraries: where there are none, and where a file is damaged, because they stop at the size a
 * recorder never finished. Any position costs the same.
 */
final class PlainSourceReader implements SourceReader {
  private final PlainSoundReader file;
  private final SourceFacts facts;

  private PlainSourceReader(PlainSoundReader file, SourceFacts facts) {
    this.file = file;
    this.facts = facts;
  }

  /**
   * Opens a file, read-only.
   *
   * @return null if it is of another kind, or its sound is compressed
   * @throws MediaException as {@link PlainSoundReader#open}
   */
  static @Nullable PlainSourceReader openIfPlain(Path path) throws MediaException {
    PlainSoundReader file = PlainSoundReader.open(path);
    return file == null ? null : new PlainSourceReader(file, facts(path, file.header()));
  }

  private static SourceFacts facts(Path path, PlainSoundHeader header) {
    WaveFormat format = header.format();
    BroadcastExtension bext = header.bext();
    return new SourceFacts(
        MediaNames.kind(path, false),
        header.container(),
        codec(header),
        format.coding() == WaveFormat.Coding.FLOAT
            ? SourceFacts.SampleForm.FLOAT
            : SourceFacts.SampleForm.INTEGER,
        format.rateHz(),
        format.validBits(),
        format.channelCount(),
        header.frameCount(),
        bext == null ? null : bext.timeReferenceSamples(),
        Collections.nCopies(format.channelCount(), ""),
        SourceFacts.ReadBy.NATIVE,
        WaveOrigin.of(bext, format.rateHz()));
  }

  /** As the FFmpeg libraries spell it. */
  private static String codec(PlainSoundHeader header) {
    int bits = header.format().containerBits();
    boolean isFloat = header.format().coding() == WaveFormat.Coding.FLOAT;
    if (bits == 8) {
      return header.signedBytes() ? "pcm_s8" : "pcm_u8";
    }
    return "pcm_" + (isFloat ? "f" : "s") + bits + (header.bigEndian() ? "be" : "le");
  }

  @Override
  public List<String> oddities() {
    return file.header().oddities();
  }

  @Override
  public SourceFacts facts() {
    return facts;
  }

  @Override
  public int readAt(long startFrame, float[][] planar, int frameCount) throws MediaException {
    return file.readAt(startFrame, planar, frameCount);
  }

  @Override
  public int readIntegersAt(long startFrame, int[][] planar, int frameCount) throws MediaException {
    return file.readIntegersAt(startFrame, planar, frameCount);
  }

  @Override
  public void close() {
    file.close();
  }
}
