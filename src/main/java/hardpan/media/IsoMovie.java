package hardpan.media;

import hardpan.base.MalformedMediaException;
import hardpan.base.MediaAccessException;
import hardpan.base.MediaException;
import hardpan.base.UnsupportedMediaException;
import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.channels.FileChannel;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.time.OffsetDateTime;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * The index of a MOV or MP4 file as far as sound needs it.
 *
 * @param quickTime whether the file calls itself QuickTime
 * @param hasPicture whether there is a picture track
 * @param startedAt the movie's creation time, in UTC; null if it is not set
 * @param soundTracks in the file's order
 */
record IsoMovie(
    boolean quickTime,
    boolean hasPicture,
    @Nullable OffsetDateTime startedAt,
    List<Track> soundTracks) {
  /** More than a day of many channels needs; read into memory as one piece. */
  private static final long MAX_INDEX_BYTES = 128L << 20;

  private static final int MAX_OUTER_BOXES = 100_000;
  private static final int MAX_SOUND_TRACKS = 64;

  /** Times count from this instant (ISO/IEC 14496-12, section 8.2.2). */
  private static final OffsetDateTime EPOCH =
      OffsetDateTime.of(1904, 1, 1, 0, 0, 0, 0, ZoneOffset.UTC);

  /**
   * A sound track.
   *
   * @param id its number in the file
   * @param format its sample description
   * @param timeScale units a second of the track's times
   * @param declaredUnits the length its time table gives, in those units; -1 if none
   * @param table where its samples lie
   * @param editList the {@code elst} box; null if there is none
   * @param movieScale units a second of the movie's times, in which edits are as long
   */
  record Track(
      long id,
      IsoSoundFormat format,
      long timeScale,
      long declaredUnits,
      IsoSampleTable table,
      @Nullable ByteBuffer editList,
      long movieScale) {}

  /** Copies the list. */
  IsoMovie {
    soundTracks = List.copyOf(soundTracks);
  }

  /** The index of a file, or null if there is none that this class can read. */
  static @Nullable IsoMovie readIfAny(Path file) {
    try (FileChannel channel = FileChannel.open(file, StandardOpenOption.READ)) {
      return read(channel, file);
    } catch (IOException e) {
      return null;
    }
  }

  /** The sound track with this number; null if there is none. */
  @Nullable Track soundTrack(long id) {
    for (Track track : soundTracks) {
      if (track.id() == id) {
        return track;
      }
    }
    return null;
  }

  /**
   * Reads the index of an open file.
   *
   * @throws MalformedMediaException if there is no index or it is damaged
   * @throws UnsupportedMediaException if it is no such file, has no sound, or is fragmented
   */
  static IsoMovie read(FileChannel channel, Path file) throws MediaException {
    String name = String.valueOf(file.getFileName());
    try {
      boolean quickTime = true;
      long at = 0;
      for (int i = 0; i < MAX_OUTER_BOXES; i++) {
        IsoTopLevel.Header box = IsoTopLevel.header(channel, at);
        if (box == null) {
          break;
        }
        if (box.type().equals("ftyp")) {
          quickTime = IsoBoxes.type(load(channel, box.contentStart(), 4, name), 0).startsWith("qt");
        }
        if (box.type().equals("moov")) {
          long size = box.end() - box.contentStart();
          return parsed(load(channel, box.contentStart(), size, name), quickTime, name);
        }
        at = box.end();
      }
    } catch (MediaException e) {
      throw e;
    } catch (IOException e) {
      throw new MediaAccessException(name + " cannot be read.", e);
    }
    throw IsoTopLevel.unfinished(file);
  }

  private static ByteBuffer load(FileChannel channel, long at, long size, String name)
      throws IOException {
    if (size > MAX_INDEX_BYTES || size > channel.size() - at) {
      throw IsoSampleTable.damaged(name);
    }
    ByteBuffer bytes = ByteBuffer.allocate((int) size);
    int got = 1;
    while (bytes.hasRemaining() && got > 0) {
      got = channel.read(bytes, at + bytes.position());
    }
    if (bytes.hasRemaining()) {
      throw IsoSampleTable.damaged(name);
    }
    return bytes.flip();
  }

  /** Takes the content of a {@code moov} box apart. */
  static IsoMovie parsed(ByteBuffer moov, boolean quickTime, String name) throws MediaException {
    if (IsoBoxes.child(moov, "cmov") != null) {
      throw new UnsupportedMediaException(
          "The index of " + name + " is compressed; reading it needs the FFmpeg libraries.");
    }
    ByteBuffer mvhd = IsoBoxes.child(moov, "mvhd");
    if (mvhd == null) {
      throw IsoSampleTable.damaged(name);
    }
    boolean wide = IsoBoxes.unsigned8(mvhd, 0) == 1;
    long created = wide ? IsoBoxes.number64(mvhd, 4) : IsoBoxes.unsigned32(mvhd, 4);
    long movieScale = IsoBoxes.unsigned32(mvhd, wide ? 20 : 12);
    boolean picture = false;
    List<Track> sound = new ArrayList<>();
    MalformedMediaException damage = null;
    for (IsoBoxes.Box box : IsoBoxes.children(moov)) {
      ByteBuffer mdia = box.type().equals("trak") ? IsoBoxes.child(box.content(), "mdia") : null;
      ByteBuffer hdlr = mdia == null ? null : IsoBoxes.child(mdia, "hdlr");
      if (mdia == null || hdlr == null) {
        continue;
      }
      String handler = IsoBoxes.type(hdlr, 8);
      picture |= handler.equals("vide");
      if (handler.equals("soun") && sound.size() < MAX_SOUND_TRACKS) {
        try {
          sound.add(track(box.content(), mdia, movieScale, name));
        } catch (MalformedMediaException e) {
          damage = e;
        }
      }
    }
    if (sound.isEmpty()) {
      throw damage != null ? damage : new UnsupportedMediaException(name + " has no sound.");
    }
    if (IsoBoxes.child(moov, "mvex") != null) {
      throw new UnsupportedMediaException(
          name + " is written in fragments; reading them needs the FFmpeg libraries.");
    }
    return new IsoMovie(quickTime, picture, time(created), sound);
  }

  private static Track track(ByteBuffer trak, ByteBuffer mdia, long movieScale, String name)
      throws MalformedMediaException {
    ByteBuffer mdhd = IsoBoxes.child(mdia, "mdhd");
    ByteBuffer stbl = IsoBoxes.descendant(mdia, "minf", "stbl");
    ByteBuffer stsd = stbl == null ? null : IsoBoxes.child(stbl, "stsd");
    IsoSoundFormat format = stsd == null ? null : IsoSoundFormat.read(stsd);
    if (mdhd == null || stbl == null || format == null) {
      throw IsoSampleTable.damaged(name);
    }
    long timeScale = IsoBoxes.unsigned32(mdhd, IsoBoxes.unsigned8(mdhd, 0) == 1 ? 20 : 12);
    ByteBuffer tkhd = IsoBoxes.child(trak, "tkhd");
    long id =
        tkhd == null ? 0 : IsoBoxes.unsigned32(tkhd, IsoBoxes.unsigned8(tkhd, 0) == 1 ? 20 : 12);
    return new Track(
        id,
        format,
        timeScale,
        IsoSampleTable.duration(IsoBoxes.child(stbl, "stts")),
        IsoSampleTable.read(stbl, name),
        IsoBoxes.descendant(trak, "edts", "elst"),
        movieScale);
  }

  private static @Nullable OffsetDateTime time(long secondsSince1904) {
    // 0 means not set; the upper bound keeps nonsense out of the calendar.
    return secondsSince1904 <= 0 || secondsSince1904 > 0xFFFF_FFFFL
        ? null
        : EPOCH.plusSeconds(secondsSince1904);
  }
}
