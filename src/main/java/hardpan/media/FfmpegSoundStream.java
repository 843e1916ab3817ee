package hardpan.media;

import hardpan.base.MalformedMediaException;
import hardpan.base.MediaException;
import hardpan.base.Span;
import hardpan.base.UnsupportedMediaException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import org.bytedeco.ffmpeg.avcodec.AVPacket;
import org.bytedeco.ffmpeg.avutil.AVFrame;
import org.bytedeco.ffmpeg.avutil.AVRational;
import org.bytedeco.ffmpeg.global.avutil;
import org.jspecify.annotations.Nullable;

/**
 * One sound stream of a file, decoded in order, with every sample at its place.
 *
 * <p>Each stream has the file open for itself, so that files whose streams lie far apart need no
 * buffering. Frame 0 is the first frame the decoder delivers, after edit lists and the encoder
 * delay that the file declares. From there on the time stamps of the decoded frames count: see
 * {@link FfmpegTimeLine}.
 *
 * <p>Every {@value #BLOCK_PACKETS} packets a fresh decoder takes over, warmed up with the packets
 * before, where the codec allows that ({@link FfmpegSoundDecoder#warmUpPackets}). Going back then
 * means going to the last such place before; what comes out is the same to the bit, because the
 * decoder stands there as it did the first time, its random noise included. Other codecs are
 * decoded again from the beginning.
 */
final class FfmpegSoundStream implements SoundPart {
  /** Forty seconds of AAC, a minute of AC-3. */
  static final int BLOCK_PACKETS = 2048;

  private static final int MAX_RATE_HZ = 3_072_000;
  private static final int MAX_CHANNELS = 256;

  /** A place where a fresh decoder took over: what to feed it with, and how things stood. */
  private record Block(long warmUpTimeStamp, int warmUpPackets, long expected, long drift) {}

  private final Path file;
  private final @Nullable IsoMovie movie;
  private final int blockPackets;
  private final int warmUpPackets;
  private final FfmpegPacketFeed feed;
  private final FfmpegTimeLine timeLine = new FfmpegTimeLine();
  private final TreeMap<Long, Block> blocks = new TreeMap<>();
  private final FfmpegHeldSound held = new FfmpegHeldSound();
  private final AVFrame frame = avutil.av_frame_alloc();
  private final long timeBaseNumerator;
  private final long timeBaseDenominator;
  private FfmpegSoundDecoder decoder;

  // What holds for the whole stream, known after the first decoded frame.
  private int rateHz;
  private int channelCount;
  private boolean integer;
  private long originFrames;
  private boolean hasTimeStamps;
  private long endFrame = Long.MAX_VALUE;

  // Where the decoding stands.
  private long position;
  private boolean draining;
  private boolean ended;
  private long failedTailFrames;
  private long toDropFrames;
  private int packetsInBlock;
  private int shortWays;

  private FfmpegSoundStream(
      Path file,
      @Nullable IsoMovie movie,
      int blockPackets,
      FfmpegPacketFeed feed,
      FfmpegSoundDecoder decoder) {
    this.file = file;
    this.movie = movie;
    this.blockPackets = blockPackets;
    this.warmUpPackets = FfmpegSoundDecoder.warmUpPackets(feed.stream().codecpar());
    this.feed = feed;
    this.decoder = decoder;
    AVRational timeBase = feed.stream().time_base();
    this.timeBaseNumerator = timeBase.num();
    this.timeBaseDenominator = Math.max(1, timeBase.den());
  }

  /**
   * Opens one stream and decodes its first frame.
   *
   * @param movie the index of a MOV or MP4 file, which tells where the sound ends; else null
   * @throws UnsupportedMediaException if the libraries do not know the codec
   * @throws MalformedMediaException if nothing at all can be decoded
   */
  static FfmpegSoundStream open(Path file, int index, @Nullable IsoMovie movie)
      throws MediaException {
    return open(file, index, movie, BLOCK_PACKETS);
  }

  /** As {@link #open(Path, int, IsoMovie)}, with another number of packets for each decoder. */
  static FfmpegSoundStream open(Path file, int index, @Nullable IsoMovie movie, int blockPackets)
      throws MediaException {
    return open(FfmpegChain.of(file), index, movie, blockPackets);
  }

  /** As {@link #open(Path, int, IsoMovie)}, for several files that hold one stream. */
  static FfmpegSoundStream open(
      FfmpegChain chain, int index, @Nullable IsoMovie movie, int blockPackets)
      throws MediaException {
    Path file = chain.first();
    FfmpegPacketFeed feed = FfmpegPacketFeed.open(chain, index);
    FfmpegSoundStream sound;
    try {
      sound =
          new FfmpegSoundStream(
              file, movie, blockPackets, feed, FfmpegSoundDecoder.start(file, feed.stream()));
    } catch (MediaException e) {
      feed.close();
      throw e;
    }
    boolean done = false;
    try {
      sound.readFirst();
      done = true;
    } finally {
      if (!done) {
        sound.close();
      }
    }
    return sound;
  }

  private void readFirst() throws MediaException {
    if (!pull()) {
      throw new MalformedMediaException(
          "Nothing in the sound track of "
              + file.getFileName()
              + " can be decoded: copy the file again from the card.");
    }
    originFrames = timeLine.firstFrames();
    hasTimeStamps = timeLine.started();
    if (sampleForm() == SourceFacts.SampleForm.LOSSY && movie != null) {
      // The first frame may be cut by the edit list, and some decoders state no frame size.
      long packetFrames = Math.max(decoder.packetFrames(), held.uncutFrames());
      endFrame =
          FfmpegStreamLength.declaredEnd(
              movie.soundTrack(feed.stream().id()), packetFrames, rateHz);
    }
  }

  // ---- facts -------------------------------------------------------------------------------

  int rateHz() {
    return rateHz;
  }

  @Override
  public int channelCount() {
    return channelCount;
  }

  /** The first frame's time stamp in frames of this stream's rate; 0 where the file has none. */
  long firstPtsFrames() {
    return hasTimeStamps ? originFrames : 0;
  }

  String codecName() {
    return FfmpegSoundDecoder.codecName(feed.stream().codecpar());
  }

  SourceFacts.SampleForm sampleForm() {
    return decoder.sampleForm();
  }

  /** Valid bits of a sample; 0 for a lossy codec. */
  int bitsPerSample() {
    return decoder.bitsPerSample();
  }

  /** What the stream says of its channels' names. */
  ChannelNaming.Stream naming() {
    return FfmpegStreamNames.of(
        feed.stream(),
        channelCount,
        channelCount > 2 && sampleForm() == SourceFacts.SampleForm.LOSSY);
  }

  /** Expected length in frames; -1 if only decoding can tell. */
  long expectedFrames() {
    if (endFrame != Long.MAX_VALUE) {
      return endFrame;
    }
    boolean lossless = integer || sampleForm() == SourceFacts.SampleForm.FLOAT;
    long declared = feed.stream().duration();
    return FfmpegStreamLength.isStated(feed.input().container(), lossless, declared)
        ? frames(declared)
        : -1;
  }

  @Override
  public long concealedFrames() {
    return timeLine.missingFrames(endFrame);
  }

  @Override
  public List<Span> missingSpans() {
    return timeLine.missingSpans(endFrame);
  }

  @Override
  public List<String> oddities() {
    List<String> sentences = new ArrayList<>(timeLine.sentences(rateHz));
    if (feed.repeatedPackets() > 0) {
      sentences.add(
          feed.repeatedPackets()
              + " packets of sound are in the file twice with the same time stamp; each is played"
              + " once.");
    }
    return sentences;
  }

  /** How often another place was reached without decoding from the beginning. */
  int shortWays() {
    return shortWays;
  }

  private long frames(long timeStamp) {
    if (timeStamp == avutil.AV_NOPTS_VALUE) {
      return -1;
    }
    return avutil.av_rescale(timeStamp, timeBaseNumerator * decoder.rateHz(), timeBaseDenominator);
  }

  // ---- reading -----------------------------------------------------------------------------

  @Override
  public int readFloats(long start, float[][] planar, int firstChannel, int at, int count)
      throws MediaException {
    goTo(start);
    int done = 0;
    while (done < count && ready()) {
      int step = step(count - done);
      for (int c = 0; c < channelCount; c++) {
        held.copy(c, planar[firstChannel + c], at + done, step);
      }
      advance(step);
      done += step;
    }
    return done;
  }

  @Override
  public int readIntegers(long start, int[][] planar, int firstChannel, int at, int count)
      throws MediaException {
    if (!integer) {
      throw new UnsupportedOperationException("not whole numbers");
    }
    goTo(start);
    int done = 0;
    while (done < count && ready()) {
      int step = step(count - done);
      for (int c = 0; c < channelCount; c++) {
        held.copy(c, planar[firstChannel + c], at + done, step);
      }
      advance(step);
      done += step;
    }
    return done;
  }

  private void goTo(long start) throws MediaException {
    if (start < position || start - position > rateHz) {
      boolean there = countsInFrames() ? seek(start) : jump(start);
      if (!there) {
        restart();
      }
    }
    while (position < start && ready()) {
      advance(step(start - position));
    }
  }

  /** Whether there is something to deliver at the present position. */
  private boolean ready() throws MediaException {
    if (position >= endFrame) {
      return false;
    }
    return !held.isEmpty() || pull();
  }

  private int step(long wanted) {
    return (int) Math.min(held.step(wanted), endFrame - position);
  }

  private void advance(int step) {
    held.drop(step);
    position += step;
  }

  // ---- going to another place -----------------------------------------------------------------

  private void restart() throws MediaException {
    feed.reopen();
    freshDecoder();
    forget();
    position = 0;
    packetsInBlock = 0;
    timeLine.restart();
    pull();
  }

  private void freshDecoder() throws MediaException {
    decoder.close();
    decoder = FfmpegSoundDecoder.start(file, feed.stream());
  }

  private void forget() {
    held.clear();
    draining = false;
    ended = false;
    failedTailFrames = 0;
    toDropFrames = 0;
  }

  /**
   * Whether each packet stands for itself and its time stamp is exact: no sample depends on another
   * packet, the container counts in frames of this rate, and no hole was met.
   */
  private boolean countsInFrames() {
    boolean alone =
        codecName().startsWith("pcm_") || codecName().equals("alac") || codecName().equals("flac");
    boolean exact =
        switch (feed.input().container()) {
          case "mov", "mp4", "caf", "aiff", "w64", "wav", "flac" -> true;
          default -> false;
        };
    return alone
        && exact
        && sampleForm() != SourceFacts.SampleForm.LOSSY
        && timeBaseNumerator == 1
        && timeBaseDenominator == rateHz
        && !timeLine.anyHole();
  }

  private boolean seek(long start) throws MediaException {
    if (!feed.seek(originFrames + start)) {
      return start >= position;
    }
    decoder.flush();
    forget();
    timeLine.restart();
    boolean there = pull();
    long landed = timeLine.firstFrames() - originFrames;
    if (!there || !timeLine.started() || landed < 0 || landed > start) {
      return false;
    }
    position = landed;
    shortWays++;
    return true;
  }

  /** Goes to the last place before {@code start} where a fresh decoder took over. */
  private boolean jump(long start) throws MediaException {
    Map.Entry<Long, Block> entry = blocks.floorEntry(start);
    if (entry == null || (start >= position && entry.getKey() <= position)) {
      return start >= position;
    }
    Block block = entry.getValue();
    if (!feed.find(block.warmUpTimeStamp())) {
      return false;
    }
    for (int i = 0; i < block.warmUpPackets(); i++) {
      if (!feed.next()) {
        return false;
      }
    }
    forget();
    position = entry.getKey();
    timeLine.resume(block.expected(), block.drift());
    startBlock();
    send();
    shortWays++;
    return true;
  }

  /** Lets a fresh decoder take over at the present packet. */
  private void startBlock() throws MediaException {
    freshDecoder();
    packetsInBlock = 0;
    for (AVPacket warmUp : feed.recent()) {
      // What comes out now was delivered before, or does not count.
      decoder.send(warmUp);
      while (decoder.receive(frame) >= 0) {
        avutil.av_frame_unref(frame);
      }
    }
  }

  /** Starts a new block if it is time for one and everything before is delivered. */
  private void mayStartBlock() throws MediaException {
    if (packetsInBlock < blockPackets || warmUpPackets < 0 || rateHz == 0) {
      return;
    }
    List<AVPacket> recent = feed.recent();
    boolean settled =
        failedTailFrames == 0
            && toDropFrames == 0
            && timeLine.started()
            && recent.size() == warmUpPackets
            && feed.packet().pts() != avutil.AV_NOPTS_VALUE
            && recent.stream().allMatch(packet -> packet.pts() != avutil.AV_NOPTS_VALUE);
    if (settled) {
      long first = recent.isEmpty() ? feed.packet().pts() : recent.get(0).pts();
      blocks.put(
          position,
          new Block(first, recent.size(), timeLine.expectedFrames(), timeLine.driftFrames()));
      startBlock();
    }
  }

  // ---- decoding ------------------------------------------------------------------------------

  /** Decodes until there is silence or sound to deliver; false at the end. */
  private boolean pull() throws MediaException {
    held.clearSound();
    while (!ended) {
      int code = decoder.receive(frame);
      if (code >= 0) {
        boolean got = accept();
        avutil.av_frame_unref(frame);
        if (got) {
          return true;
        }
      } else if (code == avutil.AVERROR_EOF) {
        ended = true;
        long missing = failedTailFrames;
        failedTailFrames = 0;
        silence(missing);
        return held.hasSilence();
      } else if (code == avutil.AVERROR_EAGAIN()) {
        feedDecoder();
      } else {
        failed(packetFrames());
      }
      if (held.hasSilence()) {
        return true;
      }
    }
    return false;
  }

  private void feedDecoder() throws MediaException {
    if (draining) {
      // A decoder that asks for more after its end has nothing left.
      ended = true;
    } else if (feed.next()) {
      mayStartBlock();
      send();
    } else {
      draining = true;
      decoder.send(null);
    }
  }

  private void send() {
    packetsInBlock++;
    int code = decoder.send(feed.packet());
    if (code < 0 && code != avutil.AVERROR_EAGAIN()) {
      failed(packetFrames());
    }
  }

  private long packetFrames() {
    long duration = feed.packet().duration();
    long fromPacket = duration > 0 ? frames(duration) : 0;
    long length = fromPacket > 0 ? fromPacket : decoder.packetFrames();
    return Math.min(length, 10L * Math.max(1, rateHz));
  }

  /** Keeps count of a packet that did not decode; its place is filled when it is known. */
  private void failed(long length) {
    if (rateHz == 0) {
      // Nothing decoded yet: the first frame that does is frame 0.
      return;
    }
    if (timeLine.started()) {
      failedTailFrames += length;
    } else {
      silence(length);
    }
  }

  /** Puts silence where the sound is missing. */
  private void silence(long length) {
    if (length > 0) {
      timeLine.conceal(position + held.frames(), length);
      held.addSilence(length);
    }
  }

  /** Takes over a decoded frame; false if it holds nothing. */
  private boolean accept() throws MediaException {
    int count = frame.nb_samples();
    int channels = frame.ch_layout().nb_channels();
    if (count <= 0 || channels < 1) {
      return false;
    }
    if (rateHz == 0) {
      if (frame.sample_rate() < 1 || frame.sample_rate() > MAX_RATE_HZ || channels > MAX_CHANNELS) {
        throw new UnsupportedMediaException(
            "The sound of "
                + file.getFileName()
                + " has a sample rate or a number of channels that"
                + " cannot be read.");
      }
      rateHz = frame.sample_rate();
      channelCount = channels;
      integer =
          FfmpegSampleLayout.isInteger(frame.format())
              && sampleForm() == SourceFacts.SampleForm.INTEGER;
    }
    long pts = frame.pts() == avutil.AV_NOPTS_VALUE ? frame.best_effort_timestamp() : frame.pts();
    if (pts != avutil.AV_NOPTS_VALUE) {
      place(avutil.av_rescale(pts, timeBaseNumerator * rateHz, timeBaseDenominator));
    } else {
      silence(failedTailFrames);
    }
    failedTailFrames = 0;
    timeLine.delivered(count);
    int drop = (int) Math.min(toDropFrames, count);
    toDropFrames -= drop;
    held.hold(frame, channelCount, integer, drop);
    return drop < count;
  }

  private void place(long ptsFrames) {
    if (timeLine.started()) {
      silence(timeLine.silenceBefore(ptsFrames, position, rateHz));
    } else if (position == 0 && ptsFrames < 0) {
      toDropFrames = beforeZero(-ptsFrames);
      timeLine.start(ptsFrames, 0);
    } else {
      timeLine.start(ptsFrames, ptsFrames);
    }
  }

  /**
   * Time before zero is the encoder's delay and not played. Where time stamps are rounded to
   * milliseconds, the delay the file declares is the exact figure.
   */
  private long beforeZero(long frames) {
    long declared = feed.stream().codecpar().initial_padding();
    return Math.abs(declared - frames) * 500 < rateHz ? declared : frames;
  }

  @Override
  public void close() {
    feed.close();
    avutil.av_frame_free(frame);
    decoder.close();
  }
}
