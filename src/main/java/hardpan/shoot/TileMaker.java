package hardpan.shoot;

import java.util.Arrays;
import java.util.function.Consumer;

/** Makes tiles out of sound that streams by; what does not begin a tile is passed over. */
final class TileMaker {
  private final int framesInColumn;
  private final long framesInTile;
  private final float[][] minima;
  private final float[][] maxima;
  private final Consumer<WaveTile> done;
  private long nextFrame = -1;
  private long tile = -1;

  TileMaker(int framesInColumn, int channelCount, Consumer<WaveTile> done) {
    this.framesInColumn = framesInColumn;
    this.framesInTile = (long) framesInColumn * WaveTile.COLUMNS;
    this.minima = new float[channelCount][WaveTile.COLUMNS];
    this.maxima = new float[channelCount][WaveTile.COLUMNS];
    this.done = done;
  }

  int framesInColumn() {
    return framesInColumn;
  }

  /** Takes a block; one that does not follow the one before starts anew at the next tile. */
  void add(long startFrame, float[][] planar, int frameCount) {
    if (startFrame != nextFrame) {
      tile = -1;
    }
    int at = 0;
    while (at < frameCount) {
      long frame = startFrame + at;
      long within = frame % framesInTile;
      int take = (int) Math.min(frameCount - at, framesInTile - within);
      if (within == 0) {
        tile = frame / framesInTile;
      }
      if (tile >= 0) {
        put(planar, at, within, take);
        if (within + take == framesInTile) {
          emit(WaveTile.COLUMNS);
        }
      }
      at += take;
    }
    nextFrame = startFrame + frameCount;
  }

  private void put(float[][] planar, int from, long within, int count) {
    for (int channel = 0; channel < minima.length; channel++) {
      float[] samples = planar[channel];
      int at = 0;
      while (at < count) {
        int column = (int) ((within + at) / framesInColumn);
        int fresh = (int) ((within + at) % framesInColumn);
        int take = Math.min(count - at, framesInColumn - fresh);
        float low = fresh == 0 ? Float.MAX_VALUE : minima[channel][column];
        float high = fresh == 0 ? -Float.MAX_VALUE : maxima[channel][column];
        for (int i = from + at; i < from + at + take; i++) {
          low = Math.min(low, samples[i]);
          high = Math.max(high, samples[i]);
        }
        minima[channel][column] = low;
        maxima[channel][column] = high;
        at += take;
      }
    }
  }

  /** The sound is at its end: what there is of the last tile is all there will be. */
  void end() {
    if (tile >= 0 && nextFrame > tile * framesInTile) {
      long frames = nextFrame - tile * framesInTile;
      emit((int) ((frames + framesInColumn - 1) / framesInColumn));
    }
  }

  private void emit(int columns) {
    float[][] low = new float[minima.length][];
    float[][] high = new float[minima.length][];
    for (int channel = 0; channel < minima.length; channel++) {
      low[channel] = Arrays.copyOf(minima[channel], columns);
      high[channel] = Arrays.copyOf(maxima[channel], columns);
    }
    done.accept(new WaveTile(framesInColumn, tile * WaveTile.COLUMNS, low, high));
    tile = -1;
  }
}
