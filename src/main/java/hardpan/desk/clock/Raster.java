package hardpan.desk.clock;

import java.nio.IntBuffer;
import java.util.Arrays;
import javafx.scene.image.PixelBuffer;
import javafx.scene.image.PixelFormat;
import javafx.scene.image.WritableImage;
import javafx.scene.paint.Color;

/** Pixels that are filled by plain loops; many times faster than strokes, which are smoothed. */
final class Raster {
  private final int width;
  private final int height;
  private final int[] pixels;
  private final PixelBuffer<IntBuffer> buffer;
  private final WritableImage image;

  Raster(int width, int height) {
    this.width = width;
    this.height = height;
    this.pixels = new int[width * height];
    this.buffer =
        new PixelBuffer<>(
            width, height, IntBuffer.wrap(pixels), PixelFormat.getIntArgbPreInstance());
    this.image = new WritableImage(buffer);
  }

  int width() {
    return width;
  }

  int height() {
    return height;
  }

  WritableImage image() {
    return image;
  }

  /** An opaque colour as it is stored. */
  static int argb(Color colour) {
    return 0xff000000
        | (int) Math.round(colour.getRed() * 255) << 16
        | (int) Math.round(colour.getGreen() * 255) << 8
        | (int) Math.round(colour.getBlue() * 255);
  }

  /** Fills what lies inside of a rectangle; it may reach beyond the edges. */
  void fill(int argb, int x, int y, int w, int h) {
    int left = Math.max(0, x);
    int right = Math.min(width, x + w);
    int top = Math.max(0, y);
    int bottom = Math.min(height, y + h);
    if (left < right) {
      for (int row = top; row < bottom; row++) {
        Arrays.fill(pixels, row * width + left, row * width + right, argb);
      }
    }
  }

  /** Fills a rectangle, which may reach beyond the edges, with falling lines a step apart. */
  void hatch(int argb, int x, int y, int w, int h, int step, int thick) {
    int left = Math.max(0, x);
    int right = Math.min(width, x + w);
    int bottom = Math.min(height, y + h);
    for (int row = Math.max(0, y); row < bottom; row++) {
      for (int line = left - Math.floorMod(left - row, step); line < right; line += step) {
        int to = Math.min(right, line + thick);
        for (int column = Math.max(left, line); column < to; column++) {
          pixels[row * width + column] = argb;
        }
      }
    }
  }

  /** Four thin bars. */
  void frame(int argb, int x, int y, int w, int h, int thick) {
    fill(argb, x, y, w, thick);
    fill(argb, x, y + h - thick, w, thick);
    fill(argb, x, y, thick, h);
    fill(argb, x + w - thick, y, thick, h);
  }

  /**
   * Fills upright stretches side by side, row by row, as memory lies.
   *
   * @param x where the first one is; all of them lie inside
   * @param count how many
   * @param tops first row of each
   * @param bottoms row after the last of each
   * @param sparse those of which only every other pixel is filled
   * @param clipTop rows before this are left
   * @param clipBottom rows from this on are left
   */
  void stretches(
      int argb,
      int x,
      int count,
      int[] tops,
      int[] bottoms,
      boolean[] sparse,
      int clipTop,
      int clipBottom) {
    int from = Math.max(0, clipTop);
    int to = Math.min(height, clipBottom);
    for (int row = from; row < to; row++) {
      int at = row * width + x;
      for (int i = 0; i < count; i++) {
        if (row >= tops[i] && row < bottoms[i] && (!sparse[i] || (row + i & 1) == 0)) {
          pixels[at + i] = argb;
        }
      }
    }
  }

  /** Shows what was filled; on the toolkit's thread. */
  void show() {
    buffer.updateBuffer(whole -> null);
  }
}
