package hardpan.wave;

/**
 * Where a chunk lies in its file.
 *
 * @param id the four characters, printable ASCII
 * @param listType for {@code LIST} chunks the four characters of the list's type, else empty
 * @param offset of the chunk's 8-byte header, in bytes from the file's start
 * @param size bytes of payload that are in the file, without header and pad byte; this is the size
 *     in effect, which for a damaged file is not the one its header states
 */
public record ChunkPlace(String id, String listType, long offset, long size) {
  /** Where the payload begins. */
  public long payloadOffset() {
    return offset + 8;
  }
}
