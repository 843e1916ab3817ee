package hardpan.shoot;

import java.util.Iterator;
import java.util.LinkedHashMap;
import java.util.Map;
import org.jspecify.annotations.Nullable;

/** Tiles in bounded memory; those not asked for longest go first. Safe for several threads. */
final class TileStore {
  private final long mostBytes;
  private final Map<Key, WaveTile> tiles = new LinkedHashMap<>(64, 0.75f, true);
  private long bytes;

  private record Key(String path, int framesInColumn, long tile) {}

  TileStore(long mostBytes) {
    this.mostBytes = mostBytes;
  }

  synchronized void put(String path, WaveTile tile) {
    Key key = new Key(path, tile.framesInColumn(), tile.firstColumn() / WaveTile.COLUMNS);
    WaveTile before = tiles.put(key, tile);
    bytes += tile.bytes() - (before == null ? 0 : before.bytes());
    Iterator<WaveTile> oldest = tiles.values().iterator();
    while (bytes > mostBytes && tiles.size() > 1) {
      bytes -= oldest.next().bytes();
      oldest.remove();
    }
  }

  synchronized @Nullable WaveTile get(String path, int framesInColumn, long tile) {
    return tiles.get(new Key(path, framesInColumn, tile));
  }

  synchronized long bytes() {
    return bytes;
  }
}
