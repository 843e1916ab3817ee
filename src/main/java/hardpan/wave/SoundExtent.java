package hardpan.wave;

import java.io.IOException;
import java.nio.ByteBuffer;
import java.util.Set;
import org.jspecify.annotations.Nullable;

/**
 * How many bytes of sound a file really has, whatever its size fields say. Recorders write the size
 * at the start of a take, rewrite it now and then at best, and finish it at the end: a take that
 * lost power has a size of zero, all ones, or one that was right minutes ago (common practice, no
 * source). What lies behind the stated end decides: a chunk there means that the size is right.
 *
 * @param size bytes of sound, at most what is in the file
 * @param oddity what was wrong with the stated size, one sentence; null if nothing was
 */
record SoundExtent(long size, @Nullable String oddity) {
  /** In a 32-bit size field: the size is in {@code ds64} (EBU Tech 3306, section 3.4). */
  static final long SEE_DS64 = 0xFFFF_FFFFL;

  /** Fewer bytes than this behind the stated end are not worth a guess. Our own bound. */
  private static final long SMALL_REST = 4096;

  /** Where a long rest is looked at to tell sound from a card's empty space. */
  private static final int PROBES = 64;

  private static final int PROBE_BYTES = 1024;

  /** So many chunks in a row are no chance. */
  private static final int ENOUGH_CHUNKS = 64;

  /**
   * Chunks that are met behind the sound: EBU Tech 3285 and its supplements, EBU Tech 3306, ITU-R
   * BS.2088, iXML 3.01, Multimedia Programming Interface and Data Specifications 1.0; the rest is
   * common practice, no source.
   */
  private static final Set<String> KNOWN =
      Set.of(
          "LIST", "JUNK", "junk", "FLLR", "PAD ", "bext", "iXML", "axml", "bxml", "sxml", "chna",
          "fmt ", "data", "fact", "cue ", "plst", "smpl", "inst", "PEAK", "levl", "mext", "qlty",
          "link", "cart", "ubxt", "id3 ", "ID3 ", "_PMX", "acid", "strc", "umid", "minf", "elm1",
          "regn", "DISP", "afsp");

  private static final String NEVER_FILLED_IN =
      "The length of the sound was never filled in; it is read to the end of the file.";

  /**
   * Weighs the size fields against the file.
   *
   * @param start where the first sample lies
   * @param declared the 32-bit field
   * @param longSize what {@code ds64} says, or null if there is none
   * @param longForm whether the file is RF64 or BW64
   */
  static SoundExtent of(
      FileBytes file, long start, long declared, @Nullable Long longSize, boolean longForm)
      throws IOException {
    long room = file.size() - start;
    boolean inDs64 =
        declared == SEE_DS64
            || (longForm && declared == 0 && longSize != null && !chunksReachEnd(file, start));
    long stated = declared;
    if (inDs64) {
      if (longSize == null) {
        return new SoundExtent(room, NEVER_FILLED_IN);
      }
      stated = longSize;
    }
    if (!inDs64 && stated > room && isPlaceholder(stated)) {
      stated = 0;
    }
    if (stated == 0) {
      return weigh(file, start, 0, at -> room == 0 || chunksReachEnd(file, at));
    }
    EndTest endTest = end -> endsAt(file, end, end - start);
    long turns = inDs64 || stated < 0 ? 0 : (room - stated) >> 32;
    for (; turns > 0 && !endTest.endsAt(start + stated); turns--) {
      long size = stated + (turns << 32);
      if (endTest.endsAt(start + size)) {
        return new SoundExtent(
            size, "The size of the sound ran over its 32 bits; " + size + " bytes are read.");
      }
    }
    return weigh(file, start, stated, endTest);
  }

  /** Whether the sound may end at a place of the file. */
  interface EndTest {
    boolean endsAt(long end) throws IOException;
  }

  /**
   * Weighs a size that is what it seems: neither a reference to another field nor run over.
   *
   * @param stated bytes; 0 or less where it was never filled in
   * @param endTest asked for the stated end, and for the start where nothing is stated
   */
  static SoundExtent weigh(FileBytes file, long start, long stated, EndTest endTest)
      throws IOException {
    long room = Math.max(0, file.size() - start);
    if (stated == 0 && endTest.endsAt(start)) {
      return new SoundExtent(0, null);
    }
    if (stated <= 0) {
      return new SoundExtent(room, NEVER_FILLED_IN);
    }
    if (stated > room) {
      return new SoundExtent(
          room,
          "The sound should have "
              + stated
              + " bytes, but the file ends after "
              + room
              + "; it is read to the end of the file.");
    }
    if (endTest.endsAt(start + stated)
        || room - stated <= SMALL_REST
        || isEmptySpace(file, start + stated)) {
      return new SoundExtent(stated, null);
    }
    return new SoundExtent(
        room,
        "The length of the sound was not brought up to date: it says "
            + stated
            + " bytes, but "
            + (room - stated)
            + " more follow that are no chunk; it is read to the end of the file. If that end is"
            + " noise, it is no sound.");
  }

  /** Sizes that writers put in before they know any: near 2 and 4 GiB. */
  private static boolean isPlaceholder(long size) {
    return (size >= 0x7FFF_FF00L && size <= 0x8000_0000L) || size >= 0xFFFF_FF00L;
  }

  /** Whether the sound may end here: the file does, or a chunk begins, with or without pad. */
  private static boolean endsAt(FileBytes file, long end, long size) throws IOException {
    return chunkAt(file, end) || (size % 2 != 0 && chunkAt(file, end + 1));
  }

  private static boolean chunkAt(FileBytes file, long at) throws IOException {
    if (file.size() - at < 8) {
      return true;
    }
    ByteBuffer head = file.at(at, 8);
    return FileBytes.isId(head)
        && (KNOWN.contains(ChunkText.id(head))
            || chunksReachEnd(file, at)
            || isLastBySize(file, at, head));
  }

  /** Whether a chunk, perhaps cut short, ends where the size of the whole file says it ended. */
  private static boolean isLastBySize(FileBytes file, long at, ByteBuffer head) throws IOException {
    long whole = 8 + Integer.toUnsignedLong(file.at(4, 4).getInt(0));
    long size = Integer.toUnsignedLong(head.getInt(4));
    long end = at + 8 + size;
    return size > 0 && (end == whole || end + size % 2 == whole);
  }

  /** Whether whole chunks lead from here to the end of the file, or too many to be chance. */
  private static boolean chunksReachEnd(FileBytes file, long from) throws IOException {
    long at = from;
    for (int i = 0; file.size() - at >= 8; i++) {
      if (i == ENOUGH_CHUNKS) {
        return true;
      }
      ByteBuffer head = file.at(at, 8);
      if (!FileBytes.isId(head)) {
        return false;
      }
      long size = Integer.toUnsignedLong(head.getInt(4));
      at += 8 + size + size % 2;
    }
    return at == file.size() || at == file.size() + 1;
  }

  /** Whether only zeros follow, as where a recorder reserves space; a microphone is never so. */
  private static boolean isEmptySpace(FileBytes file, long from) throws IOException {
    long rest = file.size() - from;
    for (int i = 0; i < PROBES; i++) {
      int length = (int) Math.min(PROBE_BYTES, rest);
      long at = from + (rest - length) / (PROBES - 1) * i;
      ByteBuffer bytes = file.at(at, length);
      while (bytes.hasRemaining()) {
        if (bytes.get() != 0) {
          return false;
        }
      }
    }
    return true;
  }
}
