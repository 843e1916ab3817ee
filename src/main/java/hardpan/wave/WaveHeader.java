package hardpan.wave;

import hardpan.base.MediaAccessException;
import hardpan.base.MediaException;
import java.io.IOException;
import java.nio.channels.FileChannel;
import java.nio.channels.SeekableByteChannel;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.util.ArrayList;
import java.util.Collections;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.regex.Pattern;
import org.jspecify.annotations.Nullable;

/**
 * Everything a Wave file says apart from its samples, and where the samples lie.
 *
 * @param form which of the three outer forms the file has
 * @param format how the samples are stored
 * @param dataOffset where the first sample lies, in bytes
 * @param frameCount whole frames that are really in the file, whatever its size fields say
 * @param bext the broadcast extension, or null
 * @param ixml the text of the iXML chunk, or null; see {@link #ixmlDocument}
 * @param info {@code LIST INFO} entries, id to text, in file order
 * @param cuePoints markers and regions in file order
 * @param chunks every chunk in file order, known or not
 * @param oddities what is not as the standards say, one sentence each; empty for a clean file
 */
public record WaveHeader(
    Form form,
    WaveFormat format,
    long dataOffset,
    long frameCount,
    @Nullable BroadcastExtension bext,
    @Nullable String ixml,
    Map<String, String> info,
    List<CuePoint> cuePoints,
    List<ChunkPlace> chunks,
    List<String> oddities) {

  private static final Pattern TRACK_LINE =
      Pattern.compile("^[a-z]?TRK[0-9]{1,4}=([^\\r\\n]*?)\\s*$", Pattern.MULTILINE);

  /** The outer form, named as the file's first four characters. */
  public enum Form {
    /** 32-bit sizes. */
    RIFF,
    /** 64-bit sizes after EBU Tech 3306. */
    RF64,
    /** 64-bit sizes after ITU-R BS.2088. */
    BW64
  }

  /** Copies the collections. */
  public WaveHeader {
    info = Collections.unmodifiableMap(new LinkedHashMap<>(info));
    cuePoints = List.copyOf(cuePoints);
    chunks = List.copyOf(chunks);
    oddities = List.copyOf(oddities);
  }

  /**
   * Reads the header of a file. The file is opened for reading only and closed again.
   *
   * @throws MediaException malformed if it is no Wave file or lacks its format or its sound;
   *     unsupported if the sound is compressed; access if the file cannot be read
   */
  public static WaveHeader read(Path file) throws MediaException {
    try (FileChannel channel = openReadOnly(file)) {
      return read(channel, nameOf(file));
    } catch (MediaException e) {
      throw e;
    } catch (IOException e) {
      throw new MediaAccessException(nameOf(file) + " cannot be read: " + e.getMessage(), e);
    }
  }

  /**
   * Reads the header from an open channel, which is left open.
   *
   * @param name the file's name, for sentences
   * @throws MediaException as {@link #read(Path)}
   */
  public static WaveHeader read(SeekableByteChannel channel, String name) throws MediaException {
    return WaveHeaderReader.read(channel, name);
  }

  static FileChannel openReadOnly(Path file) throws MediaAccessException {
    try {
      return FileChannel.open(file, StandardOpenOption.READ);
    } catch (NoSuchFileException e) {
      throw new MediaAccessException(nameOf(file) + " does not exist.", e);
    } catch (IOException e) {
      throw new MediaAccessException(nameOf(file) + " cannot be opened: " + e.getMessage(), e);
    }
  }

  static String nameOf(Path file) {
    Path name = file.getFileName();
    return name == null ? file.toString() : name.toString();
  }

  /** What the iXML chunk says; an empty document if there is none or it is malformed. */
  public IxmlDocument ixmlDocument() {
    return ixml == null ? IxmlDocument.EMPTY : IxmlDocument.parse(ixml).document();
  }

  /**
   * One name a channel, empty where the file gives none. The iXML track list counts, by interleave
   * index. Without it, lines such as {@code sTRK1=Lectern} in the broadcast description do, in
   * their order, if there is one for each channel (common practice of recorders, no source).
   */
  public List<String> channelNames() {
    List<String> names = new ArrayList<>(Collections.nCopies(format.channelCount(), ""));
    for (IxmlDocument.Track track : ixmlDocument().tracks()) {
      int index = track.interleaveIndex() - 1;
      if (index >= 0 && index < names.size() && names.get(index).isEmpty()) {
        names.set(index, track.name());
      }
    }
    if (bext != null && names.stream().allMatch(String::isEmpty)) {
      List<String> described =
          TRACK_LINE.matcher(bext.description()).results().map(line -> line.group(1)).toList();
      return described.size() == names.size() ? described : List.copyOf(names);
    }
    return List.copyOf(names);
  }

  /** The first chunk with this id, or null. */
  public @Nullable ChunkPlace chunk(String id) {
    for (ChunkPlace chunk : chunks) {
      if (chunk.id().equals(id)) {
        return chunk;
      }
    }
    return null;
  }
}
