package hardpan.media;

import hardpan.base.MalformedMediaException;
import hardpan.base.MediaAccessException;
import hardpan.base.MediaException;
import hardpan.base.UnsupportedMediaException;
import java.io.ByteArrayOutputStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import org.bytedeco.ffmpeg.avcodec.AVPacket;
import org.bytedeco.ffmpeg.avformat.AVFormatContext;
import org.bytedeco.ffmpeg.avformat.AVInputFormat;
import org.bytedeco.ffmpeg.avformat.AVStream;
import org.bytedeco.ffmpeg.avutil.AVDictionary;
import org.bytedeco.ffmpeg.avutil.AVDictionaryEntry;
import org.bytedeco.ffmpeg.avutil.AVRational;
import org.bytedeco.ffmpeg.global.avcodec;
import org.bytedeco.ffmpeg.global.avformat;
import org.bytedeco.ffmpeg.global.avutil;
import org.bytedeco.javacpp.BytePointer;
import org.bytedeco.javacpp.PointerPointer;
import org.jspecify.annotations.Nullable;

/**
 * A media file opened by the libraries, read-only, from the local file system only: the formats
 * that could lead to other files or to the network (play lists) are not on the list.
 */
final class FfmpegInput implements AutoCloseable {
  /** More sound streams than any camera or recorder writes. */
  private static final int MAX_SOUND_STREAMS = 64;

  private static final int MAX_PICTURES_SEARCHED = 1000;

  private static final String FORMATS =
      "mov,mp4,m4a,3gp,3g2,mj2,mpegts,mpeg,matroska,webm,avi,mxf,mxf_opatom,dv,asf,flv,gxf,"
          + "wav,w64,aiff,caf,flac,mp3,ogg,aac,ac3,eac3,au,wv,ape,tta,amr,dts,truehd,mpegvideo";

  private final AVFormatContext context;
  private boolean closed;

  private FfmpegInput(AVFormatContext context) {
    this.context = context;
  }

  /**
   * Opens a file and lets the libraries look at its streams.
   *
   * @throws MediaException typed, with a sentence: see {@link FfmpegReader#open}
   */
  static FfmpegInput open(Path file) throws MediaException {
    FfmpegLibraries.require();
    MediaNames.checkReadable(file);
    try (BytePointer url = FfmpegLibraries.url(file)) {
      return open(file, url, "file");
    }
  }

  /**
   * Opens the pieces of a transport stream as if they were one file.
   *
   * @param files none has a vertical bar in its path, as the libraries part the names with it
   * @throws MediaException as {@link #open(Path)}
   */
  static FfmpegInput openAsOne(List<Path> files) throws MediaException {
    FfmpegLibraries.require();
    ByteArrayOutputStream names = new ByteArrayOutputStream();
    names.writeBytes("concat".getBytes(StandardCharsets.US_ASCII));
    for (int i = 0; i < files.size(); i++) {
      MediaNames.checkReadable(files.get(i));
      names.write(i == 0 ? ':' : '|');
      try (BytePointer url = FfmpegLibraries.url(files.get(i))) {
        // Not as a string: a name need not be in the locale's letters. Its end mark is left out.
        byte[] name = new byte[(int) url.limit() - 1];
        url.get(name);
        names.writeBytes(name);
      }
    }
    names.write(0);
    try (BytePointer url = new BytePointer(names.toByteArray())) {
      return open(files.get(0), url, "concat,file");
    }
  }

  private static FfmpegInput open(Path file, BytePointer url, String protocols)
      throws MediaException {
    AVFormatContext context = new AVFormatContext(null);
    AVDictionary options = new AVDictionary(null);
    FfmpegLibraries.put(options, "protocol_whitelist", protocols);
    FfmpegLibraries.put(options, "format_whitelist", FORMATS);
    int code;
    try {
      code = avformat.avformat_open_input(context, url, null, options);
    } finally {
      avutil.av_dict_free(options);
    }
    if (code < 0) {
      throw openFailure(file, code);
    }
    FfmpegInput input = new FfmpegInput(context);
    code = avformat.avformat_find_stream_info(context, (PointerPointer<?>) null);
    if (code < 0) {
      input.close();
      throw openFailure(file, code);
    }
    return input;
  }

  private static MediaException openFailure(Path file, int code) {
    Path name = file.getFileName();
    // The libraries also use the number of "not permitted" for nonsense in a file.
    boolean refused = code == avutil.AVERROR_EPERM() && !Files.isReadable(file);
    if (code == avutil.AVERROR_EACCES() || refused) {
      return new MediaAccessException("You have no permission to read " + name + ".");
    }
    if (code == avutil.AVERROR_ENOENT()) {
      return new MediaAccessException("There is no file " + file + ".");
    }
    // They use this one for nonsense too: the disk failed only if the file cannot be read.
    if (code == avutil.AVERROR_EIO() && !MediaNames.endsCanBeRead(file)) {
      return new MediaAccessException(
          name + " cannot be read from the disk: " + FfmpegLibraries.errorText(code) + ".");
    }
    if (code == avutil.AVERROR_PATCHWELCOME) {
      return new UnsupportedMediaException(
          name + " uses a feature of its format that cannot be read.");
    }
    if (IsoTopLevel.startsLikeMovie(file)) {
      return IsoTopLevel.hasMovieBox(file)
          ? new MalformedMediaException(
              "The index of " + name + " is damaged: copy the file again from the card.")
          : IsoTopLevel.unfinished(file);
    }
    String kind = MediaNames.kindFromFirstBytes(file);
    if (kind != null) {
      return new MalformedMediaException(
          name
              + " begins as "
              + kind
              + ", but was never finished or is damaged; copy it again from the card.");
    }
    return new MalformedMediaException(
        name + " is not a media file, or its beginning is damaged: copy it again from the card.");
  }

  AVFormatContext context() {
    return context;
  }

  /** Indices of the sound streams, in the file's order. */
  List<Integer> soundStreams() {
    List<Integer> found = new ArrayList<>();
    for (int i = 0; i < context.nb_streams() && found.size() < MAX_SOUND_STREAMS; i++) {
      if (context.streams(i).codecpar().codec_type() == avutil.AVMEDIA_TYPE_AUDIO) {
        found.add(i);
      }
    }
    return found;
  }

  /** Whether there is a moving picture; a cover image does not count. */
  boolean hasPicture() {
    for (int i = 0; i < context.nb_streams(); i++) {
      AVStream stream = context.streams(i);
      if (stream.codecpar().codec_type() == avutil.AVMEDIA_TYPE_VIDEO
          && (stream.disposition() & avformat.AV_DISPOSITION_ATTACHED_PIC) == 0) {
        return true;
      }
    }
    return false;
  }

  /**
   * When the first picture that can be shown is shown: the time stamp of the first one that needs
   * no other. Null without a picture or a time stamp. Reads on in the file, so nothing may be read
   * after it.
   */
  @Nullable Double pictureStartSeconds() {
    int index = -1;
    for (int i = 0; i < context.nb_streams() && index < 0; i++) {
      AVStream stream = context.streams(i);
      if (stream.codecpar().codec_type() == avutil.AVMEDIA_TYPE_VIDEO
          && (stream.disposition() & avformat.AV_DISPOSITION_ATTACHED_PIC) == 0) {
        index = i;
      }
    }
    if (index < 0) {
      return null;
    }
    AVStream stream = only(index);
    AVPacket packet = avcodec.av_packet_alloc();
    try {
      for (int i = 0; i < MAX_PICTURES_SEARCHED; i++) {
        avcodec.av_packet_unref(packet);
        if (avformat.av_read_frame(context, packet) < 0) {
          return null;
        }
        if (packet.stream_index() == index
            && (packet.flags() & avcodec.AV_PKT_FLAG_KEY) != 0
            && packet.pts() != avutil.AV_NOPTS_VALUE) {
          AVRational base = stream.time_base();
          return (double) packet.pts() * base.num() / Math.max(1, base.den());
        }
      }
      return null;
    } finally {
      avcodec.av_packet_free(packet);
    }
  }

  /** Reads packets of one stream only. */
  AVStream only(int index) {
    for (int i = 0; i < context.nb_streams(); i++) {
      context.streams(i).discard(i == index ? avcodec.AVDISCARD_DEFAULT : avcodec.AVDISCARD_ALL);
    }
    return context.streams(index);
  }

  /** Short lower-case name of the container. */
  String container() {
    AVInputFormat format = context.iformat();
    String name = format.name().getString(StandardCharsets.UTF_8);
    if (name.startsWith("mov,")) {
      String brand = tag("major_brand");
      // QuickTime files from before the file type box existed name no brand.
      return brand == null || brand.startsWith("qt") ? "mov" : "mp4";
    }
    if (name.equals("mpegts")) {
      return "mts";
    }
    if (name.startsWith("matroska")) {
      return "mkv";
    }
    int comma = name.indexOf(',');
    return comma < 0 ? name : name.substring(0, comma);
  }

  /** One entry of the file's metadata; null if it has none or an empty one. */
  @Nullable String tag(String key) {
    return text(context.metadata(), key);
  }

  /** One entry of a dictionary; null if there is none or an empty one. */
  static @Nullable String text(@Nullable AVDictionary metadata, String key) {
    if (metadata == null || metadata.isNull()) {
      return null;
    }
    try (BytePointer nativeKey = new BytePointer(key, StandardCharsets.UTF_8)) {
      AVDictionaryEntry entry = avutil.av_dict_get(metadata, nativeKey, null, 0);
      if (entry == null || entry.isNull()) {
        return null;
      }
      String value = entry.value().getString(StandardCharsets.UTF_8);
      return value.isBlank() ? null : value;
    }
  }

  @Override
  public void close() {
    if (!closed) {
      closed = true;
      avformat.avformat_close_input(context);
    }
  }
}
