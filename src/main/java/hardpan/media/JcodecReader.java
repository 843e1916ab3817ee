package hardpan.media;

import hardpan.base.MalformedMediaException;
import hardpan.base.MediaAccessException;
import hardpan.base.MediaException;
import hardpan.base.Span;
import hardpan.base.UnsupportedMediaException;
import java.io.IOException;
import java.nio.channels.FileChannel;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.util.ArrayList;
import java.util.Collections;
import java.util.List;

/**
 * The pure-Java reader for machines where the FFmpeg libraries do not load: MOV and MP4 with
 * uncompressed sound or AAC-LC, nothing else.
 *
 * <p>Uncompressed sound comes out as through {@link FfmpegReader}, bit for bit. AAC comes from the
 * decoder in JCodec, with the edit list applied here, because its own demuxer does not: same first
 * frame, same length. Its samples differ from the reference: it delivers 16 bits, has other random
 * noise in noise bands, is off where noise shaping in time is used, and fails on some packets;
 * {@link #concealedFrames} counts the silence that stands in. {@code JcodecReaderTest} measures the
 * error: -80 dB for a tone, -31 dB for a voice-like sound with noise bands, relative to the sound.
 */
public final class JcodecReader implements SourceReader {
  private static final int MAX_CHANNELS = 256;

  private final FileChannel file;
  private final SourceFacts facts;
  private final SoundParts parts;
  private final List<String> leftOut;

  private JcodecReader(
      FileChannel file, SourceFacts facts, SoundParts parts, List<String> leftOut) {
    this.file = file;
    this.facts = facts;
    this.parts = parts;
    this.leftOut = List.copyOf(leftOut);
  }

  /**
   * Opens a file, read-only.
   *
   * @throws MediaAccessException missing, a folder, no permission, disk failure
   * @throws MalformedMediaException empty, damaged, cut short
   * @throws UnsupportedMediaException no sound, or anything but MOV and MP4 with uncompressed sound
   *     or AAC-LC
   */
  public static JcodecReader open(Path path) throws MediaException {
    MediaNames.checkReadable(path);
    if (!IsoTopLevel.startsLikeMovie(path)) {
      throw new UnsupportedMediaException(
          path.getFileName()
              + " is no MOV, MP4 or Wave file; reading anything else needs the FFmpeg libraries.");
    }
    FileChannel file;
    try {
      file = FileChannel.open(path, StandardOpenOption.READ);
    } catch (IOException e) {
      throw new MediaAccessException(path.getFileName() + " cannot be opened.", e);
    }
    boolean done = false;
    try {
      JcodecReader reader = over(file, path);
      done = true;
      return reader;
    } finally {
      if (!done) {
        close(file);
      }
    }
  }

  private static JcodecReader over(FileChannel file, Path path) throws MediaException {
    IsoMovie movie = IsoMovie.read(file, path);
    String name = String.valueOf(path.getFileName());
    List<JcodecEditedTrack> tracks = new ArrayList<>();
    List<IsoMovie.Track> used = new ArrayList<>();
    MediaException firstFailure = null;
    List<String> leftOut = new ArrayList<>();
    int number = 0;
    int channels = 0;
    for (IsoMovie.Track track : movie.soundTracks()) {
      int more = track.format().channelCount();
      number++;
      String which =
          "Sound stream " + number + " of " + movie.soundTracks().size() + " is left out: ";
      boolean fits = used.isEmpty() || rateHz(used.get(0)) == rateHz(track);
      if (!fits || channels + more > MAX_CHANNELS) {
        leftOut.add(
            which
                + (fits
                    ? "the file has more than " + MAX_CHANNELS + " channels."
                    : "it has "
                        + rateHz(track)
                        + " Hz where the first has "
                        + rateHz(used.get(0))
                        + " Hz."));
        continue;
      }
      try {
        tracks.add(edited(file, name, track));
        used.add(track);
        channels += more;
      } catch (MediaException e) {
        leftOut.add(which + e.sentence());
        firstFailure = firstFailure == null ? e : firstFailure;
      } catch (IOException e) {
        throw new MediaAccessException(name + " cannot be read.", e);
      }
    }
    if (tracks.isEmpty()) {
      throw firstFailure != null ? firstFailure : IsoSampleTable.damaged(name);
    }
    long origin = tracks.stream().mapToLong(track -> track.edits().leadFrames()).min().orElse(0);
    long[] lead = new long[tracks.size()];
    long frames = 0;
    boolean any = false;
    for (int i = 0; i < lead.length; i++) {
      JcodecEditedTrack track = tracks.get(i);
      lead[i] = track.edits().leadFrames() - origin;
      frames = Math.max(frames, lead[i] + track.edits().frameCount());
      any |= track.track().availableFrames() > 0;
    }
    if (!any) {
      throw new MalformedMediaException(
          "Nothing of the sound of " + name + " is in the file: copy it again from the card.");
    }
    SoundParts parts = new SoundParts(tracks, lead);
    SourceFacts facts = facts(path, movie, used, parts.channelCount(), frames);
    return new JcodecReader(file, facts, parts, leftOut);
  }

  private static int rateHz(IsoMovie.Track track) {
    return track.format().rateHz() > 0
        ? track.format().rateHz()
        : (int) Math.min(Integer.MAX_VALUE, track.timeScale());
  }

  private static JcodecEditedTrack edited(FileChannel file, String name, IsoMovie.Track track)
      throws IOException {
    IsoSoundFormat format = track.format();
    int rateHz = rateHz(track);
    if (rateHz < 1 || track.timeScale() < 1) {
      throw IsoSampleTable.damaged(name);
    }
    IsoSoundFormat.Pcm pcm = format.pcm();
    JcodecTrack media;
    if (pcm != null) {
      media = new JcodecPcmTrack(file, name, track.table(), format, pcm);
    } else if (format.tag().equals("mp4a")) {
      media = new JcodecAacTrack(file, name, track, rateHz);
    } else {
      throw new UnsupportedMediaException(
          "The sound of " + name + " has a codec whose reading needs the FFmpeg libraries.");
    }
    return new JcodecEditedTrack(
        media,
        IsoEdits.read(
            track.editList(),
            track.movieScale(),
            track.timeScale(),
            rateHz,
            media.declaredFrames()));
  }

  private static SourceFacts facts(
      Path path, IsoMovie movie, List<IsoMovie.Track> tracks, int channels, long frames) {
    SourceFacts.SampleForm form = form(tracks.get(0));
    Integer bits = null;
    for (IsoMovie.Track track : tracks) {
      IsoSoundFormat.Pcm pcm = track.format().pcm();
      if (pcm != null) {
        bits = bits == null ? pcm.bits() : Math.max(bits, pcm.bits());
      }
      if (form(track) != form) {
        form = SourceFacts.SampleForm.LOSSY;
      }
    }
    IsoSoundFormat.Pcm first = tracks.get(0).format().pcm();
    return new SourceFacts(
        MediaNames.kind(path, movie.hasPicture()),
        movie.quickTime() ? "mov" : "mp4",
        first == null ? "aac" : first.codecName(),
        form,
        rateHz(tracks.get(0)),
        form == SourceFacts.SampleForm.LOSSY ? null : bits,
        channels,
        frames,
        movie.startedAt(),
        null,
        names(tracks),
        SourceFacts.ReadBy.FALLBACK);
  }

  private static List<String> names(List<IsoMovie.Track> tracks) {
    return ChannelNaming.names(
        tracks.stream()
            .map(track -> Collections.nCopies(track.format().channelCount(), ""))
            .map(places -> new ChannelNaming.Stream("", "", places))
            .toList());
  }

  private static SourceFacts.SampleForm form(IsoMovie.Track track) {
    IsoSoundFormat.Pcm pcm = track.format().pcm();
    if (pcm == null) {
      return SourceFacts.SampleForm.LOSSY;
    }
    return pcm.coding() == IsoSoundFormat.Coding.FLOAT
        ? SourceFacts.SampleForm.FLOAT
        : SourceFacts.SampleForm.INTEGER;
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
  public List<String> oddities() {
    List<String> all = new ArrayList<>(leftOut);
    all.addAll(parts.oddities());
    return all;
  }

  @Override
  public void close() {
    parts.close();
    close(file);
  }

  private static void close(FileChannel file) {
    try {
      file.close();
    } catch (IOException e) {
      // Nothing was written, so nothing can be lost.
      return;
    }
  }
}
