package hardpan.media;

import hardpan.base.MediaException;
import hardpan.base.Span;
import hardpan.base.UnsupportedMediaException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import org.jspecify.annotations.Nullable;

/**
 * Reads any clip or recording through the FFmpeg libraries.
 *
 * <p>All sound streams that share the first one's rate become one source, their channels in the
 * file's order. Streams that cannot join are left out as long as one can be read, and {@link
 * #oddities} names them.
 *
 * <p>Frame 0 is the first decoded frame of sound after edit lists and after the encoder delay the
 * file declares; with several streams, of the stream that begins earliest. Where the picture begins
 * does not matter; {@link #pictureStartFrame} tells. What no file declares stays in: a decoder's
 * first frames in a transport stream come before the picture, by their own time stamps, and taking
 * them away would need a guess about the encoder. {@code docs/formats.md} has the measured figures.
 *
 * <p>Damaged packets and holes in the time stamps become silence of the same length; {@link
 * #concealedFrames} counts it and {@link #missingSpans} says where. Time stamps that go back are
 * told as an oddity; the sound is neither doubled nor cut.
 */
public final class FfmpegReader implements SourceReader {
  private static final int MAX_CHANNELS = 256;

  /** A stream that begins so much later than the first is not delayed but on another clock. */
  private static final int MAX_LEAD_SECONDS = 600;

  /** A picture that begins within this of the sound is not worth a word. */
  private static final double LEAST_PICTURE_LEAD_SECONDS = 0.1;

  private final SourceFacts facts;
  private final SoundParts parts;

  private final List<String> leftOut;
  private final @Nullable Long pictureStartFrame;

  private FfmpegReader(
      SourceFacts facts, SoundParts parts, List<String> leftOut, @Nullable Long pictureStartFrame) {
    this.facts = facts;
    this.parts = parts;
    this.leftOut = List.copyOf(leftOut);
    this.pictureStartFrame = pictureStartFrame;
  }

  /**
   * Opens a file, read-only.
   *
   * @throws hardpan.base.MediaAccessException missing, a folder, no permission, disk failure
   * @throws hardpan.base.MalformedMediaException empty, damaged, cut short, not media
   * @throws UnsupportedMediaException no sound, unknown codec, or the libraries do not load here
   */
  public static FfmpegReader open(Path file) throws MediaException {
    return open(FfmpegChain.of(file));
  }

  /**
   * Opens several files that hold one stream of packets, cut up, as one source: what comes out is
   * what the stream would have decoded to before it was cut. Whether they do is for {@link
   * StreamCut} to say.
   *
   * @throws MediaException as {@link #open(Path)}
   */
  public static FfmpegReader openCut(List<Path> files) throws MediaException {
    boolean byBytes;
    try (FfmpegInput first = FfmpegInput.open(files.get(0))) {
      byBytes = first.container().equals("mts");
    }
    return open(new FfmpegChain(files, byBytes));
  }

  private static FfmpegReader open(FfmpegChain chain) throws MediaException {
    List<FfmpegSoundStream> streams = new ArrayList<>();
    boolean done = false;
    try (FfmpegInput input = chain.open(0)) {
      List<String> leftOut = new ArrayList<>();
      openStreams(chain, input.container(), input.soundStreams(), streams, leftOut);
      long origin = streams.stream().mapToLong(FfmpegSoundStream::firstPtsFrames).min().orElse(0);
      long[] lead = new long[streams.size()];
      for (int i = 0; i < lead.length; i++) {
        FfmpegSoundStream stream = streams.get(i);
        long frames = stream.firstPtsFrames() - origin;
        lead[i] = frames > (long) MAX_LEAD_SECONDS * stream.rateHz() ? 0 : frames;
      }
      SourceFacts facts = facts(chain.first(), input, streams, lead);
      Double picture = input.pictureStartSeconds();
      FfmpegReader reader =
          new FfmpegReader(
              facts,
              new SoundParts(streams, lead),
              leftOut,
              picture == null ? null : Math.round(picture * facts.rateHz()) - origin);
      done = true;
      return reader;
    } finally {
      if (!done) {
        streams.forEach(FfmpegSoundStream::close);
      }
    }
  }

  private static void openStreams(
      FfmpegChain chain,
      String container,
      List<Integer> indices,
      List<FfmpegSoundStream> streams,
      List<String> leftOut)
      throws MediaException {
    boolean isMovie = container.equals("mov") || container.equals("mp4");
    // The index of a part says where the part ends, not where the sound does.
    IsoMovie movie = isMovie && chain.isOneFile() ? IsoMovie.readIfAny(chain.first()) : null;
    MediaException firstFailure = null;
    int channels = 0;
    for (int i = 0; i < indices.size(); i++) {
      String which = "Sound stream " + (i + 1) + " of " + indices.size() + " is left out: ";
      try {
        FfmpegSoundStream stream =
            FfmpegSoundStream.open(chain, indices.get(i), movie, FfmpegSoundStream.BLOCK_PACKETS);
        boolean otherRate = !streams.isEmpty() && streams.get(0).rateHz() != stream.rateHz();
        if (otherRate || channels + stream.channelCount() > MAX_CHANNELS) {
          leftOut.add(
              which
                  + (otherRate
                      ? "it has "
                          + stream.rateHz()
                          + " Hz where the first has "
                          + streams.get(0).rateHz()
                          + " Hz."
                      : "the file has more than " + MAX_CHANNELS + " channels."));
          stream.close();
        } else {
          channels += stream.channelCount();
          streams.add(stream);
        }
      } catch (MediaException e) {
        leftOut.add(which + e.sentence());
        firstFailure = firstFailure == null ? e : firstFailure;
      }
    }
    if (streams.isEmpty()) {
      throw firstFailure != null
          ? firstFailure
          : new UnsupportedMediaException(chain.first().getFileName() + " has no sound.");
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
            ChannelNaming.names(streams.stream().map(FfmpegSoundStream::naming).toList()),
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
  public List<Span> missingSpans() {
    return parts.missingSpans();
  }

  @Override
  public @Nullable Long pictureStartFrame() {
    return pictureStartFrame;
  }

  @Override
  public List<String> oddities() {
    List<String> all = new ArrayList<>(leftOut);
    all.addAll(parts.oddities());
    Long picture = pictureStartFrame;
    if (picture != null && Math.abs(picture) > LEAST_PICTURE_LEAD_SECONDS * facts.rateHz()) {
      all.add(
          String.format(
              Locale.ROOT,
              "The picture begins %.3f s %s the sound; times here count from the first sound.",
              Math.abs((double) picture / facts.rateHz()),
              picture < 0 ? "before" : "after"));
    }
    return all;
  }

  @Override
  public void close() {
    parts.close();
  }
}
