package hardpan.media;

import hardpan.base.MediaAccessException;
import hardpan.base.MediaException;
import hardpan.base.UnsupportedMediaException;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.OffsetDateTime;
import java.time.ZoneOffset;
import java.time.format.DateTimeFormatter;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.TreeMap;
import org.bytedeco.ffmpeg.avcodec.AVCodec;
import org.bytedeco.ffmpeg.avformat.AVFormatContext;
import org.bytedeco.ffmpeg.avformat.AVIOContext;
import org.bytedeco.ffmpeg.avutil.AVDictionary;
import org.bytedeco.ffmpeg.global.avcodec;
import org.bytedeco.ffmpeg.global.avformat;
import org.bytedeco.ffmpeg.global.avutil;
import org.bytedeco.javacpp.BytePointer;
import org.jspecify.annotations.Nullable;

/**
 * Writes a clip with the FFmpeg libraries: sound in any codec they have and, if wanted, a small
 * moving test picture. For demonstration material and tests; hand-overs are written elsewhere.
 *
 * <p>The file grows under a name ending in {@code .partial} and gets its own name in {@link
 * #close()}, when everything is in it. An existing file is never replaced. The same input gives the
 * same bytes on the same version of the libraries. Not safe for several threads at once.
 */
public final class FfmpegClipWriter implements AutoCloseable {
  /**
   * What to write.
   *
   * @param container the libraries' name of the format: {@code mov}, {@code mp4}, {@code mpegts},
   *     {@code wav} ...
   * @param codec the libraries' name of the encoder: {@code pcm_s16le}, {@code pcm_s24le}, {@code
   *     pcm_f32le}, {@code aac}, {@code ac3} ...; for encoders that can do several sizes with the
   *     bits behind a hyphen: {@code flac-24}
   * @param rateHz sample rate, above 0
   * @param channelCount 1 to 64
   * @param bitRate bits a second for lossy codecs; null for the encoder's own choice
   * @param withPicture whether a 64 x 36 test picture at 25 a second runs along
   * @param startedAt written as the file's creation time, in UTC and whole seconds, where the
   *     format can hold it; null for none
   */
  public record Settings(
      String container,
      String codec,
      int rateHz,
      int channelCount,
      @Nullable Integer bitRate,
      boolean withPicture,
      @Nullable OffsetDateTime startedAt) {
    /** Checks the numbers. */
    public Settings {
      if (rateHz < 1 || channelCount < 1 || channelCount > 64) {
        throw new IllegalArgumentException("rate " + rateHz + ", channels " + channelCount);
      }
    }
  }

  private final Path file;
  private final Path partial;
  private final Settings settings;
  private final Map<String, String> tags;
  private final AVFormatContext context = new AVFormatContext(null);
  private final List<FfmpegTrackEncoder> sound = new ArrayList<>();
  private @Nullable FfmpegTrackEncoder picture;
  private float[][] pending = new float[0][];
  private int pendingFrames;
  private long framesEncoded;
  private boolean headerWritten;
  private boolean partialCreated;
  private int failure;
  private boolean closed;

  private FfmpegClipWriter(Path file, Settings settings, Map<String, String> tags) {
    this.file = file;
    this.tags = new TreeMap<>(tags);
    this.partial = file.resolveSibling(file.getFileName() + ".partial");
    this.settings = settings;
  }

  /**
   * Starts a file with all channels in one sound track.
   *
   * @throws UnsupportedMediaException if the libraries do not load or lack the format or encoder
   * @throws MediaAccessException if the file exists already or cannot be written
   */
  public static FfmpegClipWriter create(Path file, Settings settings) throws MediaException {
    return create(file, settings, 1, Map.of());
  }

  /**
   * Starts a file with the channels spread evenly over several sound tracks, as professional
   * cameras do, and with options of the container's writer (such as {@code movflags}).
   *
   * @param soundTracks divides the channel count
   * @throws MediaException as {@link #create(Path, Settings)}
   */
  public static FfmpegClipWriter create(
      Path file, Settings settings, int soundTracks, Map<String, String> containerOptions)
      throws MediaException {
    return create(file, settings, soundTracks, containerOptions, Map.of());
  }

  /**
   * The same with entries of metadata, under the libraries' names: {@code make}, {@code timecode}
   * ... What the format has no place for is left out by them.
   *
   * @throws MediaException as {@link #create(Path, Settings)}
   */
  public static FfmpegClipWriter create(
      Path file,
      Settings settings,
      int soundTracks,
      Map<String, String> containerOptions,
      Map<String, String> tags)
      throws MediaException {
    if (soundTracks < 1 || settings.channelCount() % soundTracks != 0) {
      throw new IllegalArgumentException(soundTracks + " tracks");
    }
    FfmpegLibraries.require();
    if (Files.exists(file)) {
      throw new MediaAccessException(file.getFileName() + " exists already and is kept.");
    }
    FfmpegClipWriter writer = new FfmpegClipWriter(file, settings, tags);
    boolean done = false;
    try {
      writer.start(soundTracks, new TreeMap<>(containerOptions));
      done = true;
    } finally {
      if (!done) {
        writer.abandon();
      }
    }
    return writer;
  }

  private void start(int soundTracks, Map<String, String> options) throws MediaException {
    // The address goes in here too: a writer that moves its index to the front opens it again.
    try (BytePointer container = new BytePointer(settings.container(), StandardCharsets.UTF_8);
        BytePointer url = FfmpegLibraries.url(partial)) {
      int code = avformat.avformat_alloc_output_context2(context, null, container, url);
      if (code < 0) {
        throw new UnsupportedMediaException(
            "The FFmpeg libraries cannot write the format " + settings.container() + ".");
      }
    }
    context.flags(context.flags() | AVFormatContext.AVFMT_FLAG_BITEXACT);
    context.strict_std_compliance(avcodec.FF_COMPLIANCE_EXPERIMENTAL);
    if (settings.withPicture()) {
      picture = FfmpegTrackEncoder.picture(context, encoder(pictureCodec()), this::note);
      check();
    }
    String[] nameAndBits = settings.codec().split("-", 2);
    int bits = nameAndBits.length < 2 ? 0 : Integer.parseInt(nameAndBits[1]);
    AVCodec codec = encoder(nameAndBits[0]);
    int inTrack = settings.channelCount() / soundTracks;
    int bitRate = settings.bitRate() == null ? 0 : settings.bitRate();
    for (int i = 0; i < soundTracks; i++) {
      FfmpegTrackEncoder track =
          FfmpegTrackEncoder.sound(
              context,
              codec,
              nameAndBits[0],
              bits,
              settings.rateHz(),
              inTrack,
              bitRate,
              this::note);
      check();
      if (track != null) {
        sound.add(track);
      }
    }
    pending = new float[settings.channelCount()][sound.get(0).framesAtOnce()];
    writeHeader(options);
  }

  private void writeHeader(Map<String, String> options) throws MediaException {
    Map<String, String> all = new TreeMap<>(tags);
    OffsetDateTime startedAt = settings.startedAt();
    if (startedAt != null) {
      all.put(
          "creation_time",
          startedAt
              .withOffsetSameInstant(ZoneOffset.UTC)
              .format(DateTimeFormatter.ofPattern("uuuu-MM-dd'T'HH:mm:ss'Z'", Locale.ROOT)));
    }
    if (!all.isEmpty()) {
      AVDictionary metadata = new AVDictionary(null);
      all.forEach((key, value) -> FfmpegLibraries.put(metadata, key, value));
      context.metadata(metadata);
    }
    AVIOContext output = new AVIOContext(null);
    try (BytePointer url = FfmpegLibraries.url(partial)) {
      note(avformat.avio_open2(output, url, avformat.AVIO_FLAG_WRITE, null, (AVDictionary) null));
    }
    check();
    partialCreated = true;
    context.pb(output);
    AVDictionary dictionary = new AVDictionary(null);
    options.forEach((key, value) -> FfmpegLibraries.put(dictionary, key, value));
    note(avformat.avformat_write_header(context, dictionary));
    avutil.av_dict_free(dictionary);
    check();
    headerWritten = true;
  }

  /** A picture codec that the container takes. */
  private String pictureCodec() {
    return switch (settings.container()) {
      case "mpegts", "mpeg", "vob", "mxf" -> "mpeg2video";
      case "flv" -> "flv";
      default -> "mpeg4";
    };
  }

  private static AVCodec encoder(String name) throws UnsupportedMediaException {
    try (BytePointer nativeName = new BytePointer(name, StandardCharsets.UTF_8)) {
      AVCodec codec = avcodec.avcodec_find_encoder_by_name(nativeName);
      if (codec == null) {
        throw new UnsupportedMediaException(
            "The FFmpeg libraries on this computer have no encoder called " + name + ".");
      }
      return codec;
    }
  }

  private void note(int code) {
    if (code < 0 && failure == 0) {
      failure = code;
    }
  }

  private void check() throws MediaException {
    if (failure < 0) {
      throw FfmpegLibraries.writeFailure(file, failure);
    }
  }

  /**
   * Appends sound.
   *
   * @param planar one array a channel, each at least {@code frameCount} long; NaN becomes silence
   *     in whole-number codecs; values beyond full scale are clamped there and kept by floats
   * @param frameCount frames to take from the start of each array
   * @throws MediaException if encoding or writing fails; {@link #close()} then removes the file
   */
  public void write(float[][] planar, int frameCount) throws MediaException {
    if (closed) {
      throw new IllegalStateException("closed");
    }
    check();
    if (planar.length != settings.channelCount()) {
      throw new IllegalArgumentException(planar.length + " channels");
    }
    int taken = 0;
    while (taken < frameCount) {
      int count = Math.min(frameCount - taken, pending[0].length - pendingFrames);
      for (int c = 0; c < planar.length; c++) {
        System.arraycopy(planar[c], taken, pending[c], pendingFrames, count);
      }
      taken += count;
      pendingFrames += count;
      if (pendingFrames == pending[0].length) {
        encodePending();
      }
    }
  }

  private void encodePending() throws MediaException {
    int inTrack = settings.channelCount() / sound.size();
    for (int i = 0; i < sound.size() && failure == 0; i++) {
      note(sound.get(i).encodeSound(pending, i * inTrack, pendingFrames));
    }
    framesEncoded += pendingFrames;
    pendingFrames = 0;
    FfmpegTrackEncoder track = picture;
    if (track != null) {
      while (failure == 0
          && track.pictures() * settings.rateHz()
              < framesEncoded * FfmpegTrackEncoder.PICTURES_PER_SECOND) {
        note(track.encodePicture());
      }
    }
    check();
  }

  /**
   * Finishes the file and gives it its name.
   *
   * @throws MediaException if this or any earlier step failed; nothing is left behind then
   */
  @Override
  public void close() throws MediaException {
    if (closed) {
      return;
    }
    boolean done = false;
    try {
      check();
      if (pendingFrames > 0) {
        encodePending();
      }
      for (FfmpegTrackEncoder track : sound) {
        note(track.flush());
      }
      if (picture != null) {
        note(picture.flush());
      }
      headerWritten = false;
      note(avformat.av_write_trailer(context));
      releaseOutput();
      check();
      done = true;
    } finally {
      if (done) {
        free();
      } else {
        abandon();
      }
    }
    try {
      Files.move(partial, file);
    } catch (IOException e) {
      throw new MediaAccessException(
          "The finished clip could not be named " + file.getFileName() + ".", e);
    }
  }

  /** Frees everything and removes the unfinished file. */
  private void abandon() {
    if (headerWritten) {
      // Frees what the container's writer holds; its verdict no longer matters.
      avformat.av_write_trailer(context);
      headerWritten = false;
    }
    failure = Math.min(failure, -1);
    free();
    if (partialCreated) {
      try {
        Files.deleteIfExists(partial);
      } catch (IOException e) {
        // The failure that led here is the one to report.
        return;
      }
    }
  }

  private void releaseOutput() {
    AVIOContext output = context.pb();
    if (output != null && !output.isNull()) {
      note(avformat.avio_closep(output));
      context.pb(null);
    }
  }

  private void free() {
    if (closed) {
      return;
    }
    closed = true;
    sound.forEach(FfmpegTrackEncoder::close);
    if (picture != null) {
      picture.close();
    }
    if (!context.isNull()) {
      releaseOutput();
      avformat.avformat_free_context(context);
    }
  }
}
