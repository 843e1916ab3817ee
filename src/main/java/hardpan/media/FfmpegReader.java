package hardpan.media;

import hardpan.base.MediaException;
import hardpan.base.UnsupportedMediaException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * Reads any clip or recording through the FFmpeg libraries.
 *
 * <p>All sound streams that share the first one's rate become one source, their channels in the
 * file's order. Streams the libraries cannot decode are left out as long as one can be.
 *
 * <p>Frame 0 is the first decoded frame of sound after edit lists and after the encoder delay the
 * file declares; with several streams, of the stream that begins earliest. Where the picture begins
 * does not matter. What no file declares stays in: a transport stream with AC-3 sound begins with
 * the 256 frames of its encoder's overlap, so that a click written at frame n is found at n + 256
 * (measured with the libraries' own encoder; 256 is the overlap of the 512-sample transform of ATSC
 * A/52); AAC in a transport stream or in a fragmented MP4 without an edit list is 1024 frames late
 * in the same way.
 *
 * <p>Damaged packets and holes in the time stamps become silence of the same length; {@link
 * #concealedFrames} counts it.
 */
public final class FfmpegReader implements SourceReader {
  private static final int MAX_CHANNELS = 256;

  /** A stream that begins so much later than the first is not delayed but on another clock. */
  private static final int MAX_LEAD_SECONDS = 600;

  private final SourceFacts facts;
  private final SoundParts parts;

  private FfmpegReader(SourceFacts facts, SoundParts parts) {
    this.facts = facts;
    this.parts = parts;
  }

  /**
   * Opens a file, read-only.
   *
   * @throws hardpan.base.MediaAccessException missing, a folder, no permission, disk failure
   * @throws hardpan.base.MalformedMediaException empty, damaged, cut short, not media
   * @throws UnsupportedMediaException no sound, unknown codec, or the libraries do not load here
   */
  public static FfmpegReader open(Path file) throws MediaException {
    List<FfmpegSoundStream> streams = new ArrayList<>();
    boolean done = false;
    try (FfmpegInput input = FfmpegInput.open(file)) {
      openStreams(file, input.container(), input.soundStreams(), streams);
      long origin = streams.stream().mapToLong(FfmpegSoundStream::firstPtsFrames).min().orElse(0);
      long[] lead = new long[streams.size()];
      for (int i = 0; i < lead.length; i++) {
        FfmpegSoundStream stream = streams.get(i);
        long frames = stream.firstPtsFrames() - origin;
        lead[i] = frames > (long) MAX_LEAD_SECONDS * stream.rateHz() ? 0 : frames;
      }
      FfmpegReader reader =
          new FfmpegReader(facts(file, input, streams, lead), new SoundParts(streams, lead));
      done = true;
      return reader;
    } finally {
      if (!done) {
        streams.forEach(FfmpegSoundStream::close);
      }
    }
  }

  private static void openStreams(
      Path file, String container, List<Integer> indices, List<FfmpegSoundStream> streams)
      throws MediaException {
    boolean isMovie = container.equals("mov") || container.equals("mp4");
    IsoMovie movie = isMovie ? IsoMovie.readIfAny(file) : null;
    MediaException firstFailure = null;
    int channels = 0;
    for (int index : indices) {
      try {
        FfmpegSoundStream stream = FfmpegSoundStream.open(file, index, movie);
        channels += stream.channelCount();
        if (channels > MAX_CHANNELS
            || (!streams.isEmpty() && streams.get(0).rateHz() != stream.rateHz())) {
          channels -= stream.channelCount();
          stream.close();
        } else {
          streams.add(stream);
        }
      } catch (MediaException e) {
        firstFailure = firstFailure == null ? e : firstFailure;
      }
    }
    if (streams.isEmpty()) {
      throw firstFailure != null
          ? firstFailure
          : new UnsupportedMediaException(file.getFileName() + " has no sound.");
    }
  }

  private static SourceFacts facts(
      Path file, FfmpegInput input, List<FfmpegSoundStream> streams, long[] lead) {
    FfmpegSoundStream first = streams.get(0);
    SourceFacts.SampleForm form = first.sampleForm();
    int channels = 0;
    int bits = 0;
    long frames = 0;
    for (int i = 0; i < lead.length; i++) {
      FfmpegSoundStream stream = streams.get(i);
      channels += stream.channelCount();
      bits = Math.max(bits, stream.bitsPerSample());
      if (stream.sampleForm() != form) {
        form = SourceFacts.SampleForm.LOSSY;
      }
      long expected = stream.expectedFrames();
      frames = expected < 0 || frames < 0 ? -1 : Math.max(frames, lead[i] + expected);
    }
    SourceFacts facts =
        new SourceFacts(
            MediaNames.kind(file, input.hasPicture()),
            input.container(),
            first.codecName(),
            form,
            first.rateHz(),
            form == SourceFacts.SampleForm.LOSSY ? null : bits,
            channels,
            frames < 0 ? null : frames,
            null,
            timeReference(input),
            Collections.nCopies(channels, ""),
            SourceFacts.ReadBy.NATIVE);
    return facts.withOrigin(FfmpegOrigin.of(input, facts.rateHz()));
  }

  private static @Nullable Long timeReference(FfmpegInput input) {
    String text = input.tag("time_reference");
    if (text == null) {
      return null;
    }
    try {
      return Long.parseLong(text.strip());
    } catch (NumberFormatException e) {
      return null;
    }
  }

  @Override
  public SourceFacts facts() {
    return facts;
  }

  @Override
  public int readAt(long startFrame, float[][] planar, int frameCount) throws MediaException {
    return parts.readAt(startFrame, planar, frameCount);
  }

  @Override
  public int readIntegersAt(long startFrame, int[][] planar, int frameCount) throws MediaException {
    if (facts.sampleForm() != SourceFacts.SampleForm.INTEGER) {
      throw new UnsupportedOperationException("samples are not whole numbers");
    }
    return parts.readIntegersAt(startFrame, planar, frameCount);
  }

  @Override
  public long concealedFrames() {
    return parts.concealedFrames();
  }

  @Override
  public void close() {
    parts.close();
  }
}
