package hardpan.media;

import hardpan.base.MediaAccessException;
import hardpan.base.MediaException;
import java.util.ArrayDeque;
import java.util.Deque;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.zip.CRC32;
import org.bytedeco.ffmpeg.avcodec.AVPacket;
import org.bytedeco.ffmpeg.avformat.AVStream;
import org.bytedeco.ffmpeg.global.avcodec;
import org.bytedeco.ffmpeg.global.avformat;
import org.bytedeco.ffmpeg.global.avutil;
import org.bytedeco.javacpp.BytePointer;

/**
 * The packets of one stream of a file, in order, with the last few kept. The file is opened for
 * this stream alone.
 *
 * <p>A packet that has the time stamp and the bytes of one shortly before it is left out and
 * counted: such copies arise where the end of one piece is repeated at the beginning of the next.
 */
final class FfmpegPacketFeed implements AutoCloseable {
  /** So many damaged packets in a row end a stream. */
  private static final int MAX_READ_FAILURES = 10_000;

  /** A repeated stretch is looked for this far back: about ten seconds of compressed sound. */
  private static final int REMEMBERED_PACKETS = 512;

  /** A search for a packet by its time stamp reads no further than this. */
  private static final int MAX_SEARCHED_PACKETS = 20_000;

  private static final int MAX_COUNTED_REPEATS = 10_000;

  private final FfmpegChain chain;
  private final int index;
  private final int keep;
  private final Deque<AVPacket> recent = new ArrayDeque<>();
  private final AVPacket packet = avcodec.av_packet_alloc();
  private final Map<Long, Long> contentByTimeStamp =
      new LinkedHashMap<>() {
        @Override
        protected boolean removeEldestEntry(Map.Entry<Long, Long> eldest) {
          return size() > REMEMBERED_PACKETS;
        }
      };
  private final boolean mayRepeat;
  private FfmpegInput input;
  private AVStream stream;
  private final Set<Long> repeated = new HashSet<>();
  private byte[] content = new byte[0];

  // Where a chain of files stands.
  private int link;
  private long movedBy;
  private long endTimeStamp;
  private boolean isFirstOfLink = true;

  private FfmpegPacketFeed(FfmpegChain chain, int index, FfmpegInput input) {
    this.chain = chain;
    this.index = index;
    this.input = input;
    this.stream = input.only(index);
    this.keep = Math.max(0, FfmpegSoundDecoder.warmUpPackets(stream.codecpar()));
    // Where an index says what lies where, a packet may be used twice on purpose.
    this.mayRepeat = input.container().equals("mts");
  }

  /** Opens a file, or several that hold one stream, for one of its streams. */
  static FfmpegPacketFeed open(FfmpegChain chain, int index) throws MediaException {
    return new FfmpegPacketFeed(chain, index, chain.open(0));
  }

  FfmpegInput input() {
    return input;
  }

  AVStream stream() {
    return stream;
  }

  /** The present packet. */
  AVPacket packet() {
    return packet;
  }

  /**
   * The packets before the present one, the oldest first; at most as many as a decoder needs to
   * warm up.
   */
  List<AVPacket> recent() {
    return List.copyOf(recent);
  }

  /** How many packets were left out because they repeat an earlier one. */
  long repeatedPackets() {
    return repeated.size();
  }

  /**
   * Goes on to the next packet.
   *
   * @return false at the end of the stream
   * @throws MediaAccessException if the disk fails
   */
  boolean next() throws MediaException {
    keepPresent();
    int failures = 0;
    while (true) {
      avcodec.av_packet_unref(packet);
      int code = avformat.av_read_frame(input.context(), packet);
      // The libraries use this one for nonsense too: the disk failed only if it cannot be read.
      if (code == avutil.AVERROR_EIO() && !MediaNames.endsCanBeRead(chain.files().get(link))) {
        throw new MediaAccessException(
            "The disk failed while " + chain.files().get(link).getFileName() + " was being read.");
      }
      if (code == avutil.AVERROR_EOF || (code < 0 && ++failures > MAX_READ_FAILURES)) {
        if (!nextLink()) {
          return false;
        }
      } else if (code >= 0 && packet.stream_index() == index) {
        moveTimeStamp();
        if (!repeats()) {
          return true;
        }
        if (repeated.size() < MAX_COUNTED_REPEATS) {
          repeated.add(packet.pts());
        }
      }
    }
  }

  /** Goes over to the next file of a chain; false if there is none. */
  private boolean nextLink() throws MediaException {
    if (link + 1 >= chain.links()) {
      return false;
    }
    link++;
    movedBy = endTimeStamp;
    isFirstOfLink = true;
    open(link);
    return true;
  }

  /** Lets the time stamps of a later file go on where those of the file before ended. */
  private void moveTimeStamp() {
    long timeStamp = packet.pts();
    if (chain.links() == 1 || timeStamp == avutil.AV_NOPTS_VALUE) {
      return;
    }
    if (isFirstOfLink && link > 0) {
      movedBy -= timeStamp;
    }
    isFirstOfLink = false;
    packet.pts(timeStamp + movedBy);
    packet.dts(packet.pts());
    endTimeStamp = packet.pts() + Math.max(0, packet.duration());
  }

  private void keepPresent() {
    if (keep == 0 || packet.size() <= 0) {
      return;
    }
    AVPacket copy = avcodec.av_packet_clone(packet);
    if (copy != null && !copy.isNull()) {
      recent.addLast(copy);
    }
    while (recent.size() > keep) {
      avcodec.av_packet_free(recent.removeFirst());
    }
  }

  private boolean repeats() {
    int size = packet.size();
    BytePointer data = packet.data();
    if (!mayRepeat || packet.pts() == avutil.AV_NOPTS_VALUE || size <= 0 || data == null) {
      return false;
    }
    if (content.length < size) {
      content = new byte[size];
    }
    data.get(content, 0, size);
    CRC32 sum = new CRC32();
    sum.update(content, 0, size);
    Long before = contentByTimeStamp.put(packet.pts(), sum.getValue() << 24 ^ size);
    return before != null && before == (sum.getValue() << 24 ^ size);
  }

  /**
   * Makes a packet that was read earlier the present one.
   *
   * @param timeStamp its time stamp
   * @return false if it was not found; the place in the file is unknown then
   */
  boolean find(long timeStamp) throws MediaException {
    if (chain.links() > 1) {
      return false;
    }
    dropRecent();
    contentByTimeStamp.clear();
    avcodec.av_packet_unref(packet);
    // A transport stream's packets are cut out of a byte stream: begin early enough to be in step.
    long early = mayRepeat ? stream.time_base().den() / Math.max(1, stream.time_base().num()) : 0;
    int code =
        avformat.av_seek_frame(
            input.context(), index, timeStamp - early, avformat.AVSEEK_FLAG_BACKWARD);
    if (code < 0) {
      return false;
    }
    for (int i = 0; i < MAX_SEARCHED_PACKETS && next(); i++) {
      long there = packet.pts();
      if (there == timeStamp) {
        dropRecent();
        return true;
      }
      if (there != avutil.AV_NOPTS_VALUE && there > timeStamp) {
        return false;
      }
    }
    return false;
  }

  /** Goes to where a time stamp lies or before it; what comes next tells where. */
  boolean seek(long timeStamp) {
    if (chain.links() > 1) {
      return false;
    }
    dropRecent();
    contentByTimeStamp.clear();
    avcodec.av_packet_unref(packet);
    return avformat.av_seek_frame(input.context(), index, timeStamp, avformat.AVSEEK_FLAG_BACKWARD)
        >= 0;
  }

  /** Begins again at the first packet. */
  void reopen() throws MediaException {
    dropRecent();
    contentByTimeStamp.clear();
    avcodec.av_packet_unref(packet);
    link = 0;
    movedBy = 0;
    endTimeStamp = 0;
    isFirstOfLink = true;
    open(0);
  }

  private void open(int number) throws MediaException {
    int codec = stream.codecpar().codec_id();
    input.close();
    input = chain.open(number);
    if (index >= input.context().nb_streams()
        || input.context().streams(index).codecpar().codec_id() != codec) {
      throw new MediaAccessException(
          chain.files().get(number).getFileName() + " is not as it was when it was first read.");
    }
    stream = input.only(index);
  }

  private void dropRecent() {
    for (AVPacket kept : recent) {
      avcodec.av_packet_free(kept);
    }
    recent.clear();
  }

  @Override
  public void close() {
    dropRecent();
    avcodec.av_packet_free(packet);
    input.close();
  }
}
