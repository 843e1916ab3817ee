package hardpan.media;

import hardpan.base.MediaException;
import hardpan.wave.BroadcastExtension;
import hardpan.wave.WaveFileReader;
import hardpan.wave.WaveFormat;
import hardpan.wave.WaveHeader;
import java.nio.file.Path;
import java.util.List;
import java.util.Locale;

/**
 * Reads Wave recordings (RIFF, RF64, BW64) without the native libraries. Any position costs the
 * same.
 *
 * <p>{@link SourceFacts#startedAt} is the {@code bext} time reference on the day of the origination
 * date, or the origination date and time. EBU Tech 3285 gives them no offset from UTC; recorders
 * write local time.
 */
public final class WaveSourceReader implements SourceReader {
  private final WaveFileReader file;
  private final SourceFacts facts;

  private WaveSourceReader(WaveFileReader file, SourceFacts facts) {
    this.file = file;
    this.facts = facts;
  }

  /**
   * Opens a Wave file, read-only.
   *
   * @throws MediaException as {@link WaveFileReader#open}
   */
  public static WaveSourceReader open(Path path) throws MediaException {
    MediaNames.checkReadable(path);
    WaveFileReader file = WaveFileReader.open(path);
    return new WaveSourceReader(file, facts(path, file.header()));
  }

  /** The header with everything the facts have no place for: markers, oddities, texts. */
  public WaveHeader header() {
    return file.header();
  }

  private static SourceFacts facts(Path path, WaveHeader header) {
    WaveFormat format = header.format();
    boolean isFloat = format.coding() == WaveFormat.Coding.FLOAT;
    BroadcastExtension bext = header.bext();
    String container =
        header.form() == WaveHeader.Form.RIFF
            ? "wav"
            : header.form().name().toLowerCase(Locale.ROOT);
    return new SourceFacts(
        MediaNames.kind(path, false),
        container,
        codec(format),
        isFloat ? SourceFacts.SampleForm.FLOAT : SourceFacts.SampleForm.INTEGER,
        format.rateHz(),
        format.validBits(),
        format.channelCount(),
        header.frameCount(),
        bext == null ? null : bext.timeReferenceSamples(),
        header.channelNames(),
        SourceFacts.ReadBy.NATIVE,
        WaveOrigin.of(header));
  }

  private static String codec(WaveFormat format) {
    int bits = format.containerBits();
    if (format.coding() == WaveFormat.Coding.FLOAT) {
      return "pcm_f" + bits + "le";
    }
    return bits == 8 ? "pcm_u8" : "pcm_s" + bits + "le";
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
