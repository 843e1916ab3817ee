package hardpan.media;

import java.io.IOException;
import java.io.InputStream;
import java.lang.reflect.Constructor;
import java.lang.reflect.Field;
import java.lang.reflect.InvocationTargetException;
import java.lang.reflect.Method;
import java.util.Arrays;
import java.util.HexFormat;
import java.util.List;
import org.jcodec.common.logging.Logger;

/**
 * The AAC decoder that comes with JCodec 0.2.5, with two faults corrected while its classes are
 * loaded; all else is the library as published.
 *
 * <ul>
 *   <li>Its generator for perceptual noise (ISO/IEC 14496-3, section 4.6.13) multiplies its state
 *       by 1015568748, a multiple of four, so that the state is 0 after at most 16 steps; from then
 *       on every packet with a noise band becomes 0 divided by 0 as a whole and comes out silent.
 *       Measured: a plain 440 Hz tone from the FFmpeg libraries' encoder falls silent within its
 *       first 1024 frames for good. An odd multiplier never reaches 0.
 *   <li>Its intensity stereo walks from section to section; where a damaged packet gives a section
 *       no length, it walks on the spot for ever. Walking from band to band instead does the same
 *       work and always ends.
 * </ul>
 *
 * <p>The library has no switch for either, so a loader of our own exchanges these bytes. Each
 * decoder has its own copy of the classes, because the noise state is shared by all of them
 * otherwise. The noise of a packet depends on the packet's number only, so that any way of reading
 * gives the same samples.
 */
final class JcodecAacDecoder {
  private static final String FAMILY = "net.sourceforge.jaad.";
  private static final String NOISY_CLASS = FAMILY + "aac.syntax.ICStream";
  private static final String STATE_FIELD = "randomState";

  /**
   * Constant 1015568748 becomes 1664525, the multiplier Numerical Recipes gives for 32 bits (from
   * memory). Tag 3 of the class file format, then the value.
   */
  private static final Exchange NOISE_MULTIPLIER =
      new Exchange(NOISY_CLASS, "033c88596c", "030019660d");

  /**
   * {@code end = sectEnd[idx]} becomes {@code end = i + 1}: aload 9, iload 17, iaload, istore 15
   * becomes iload 12, iconst_1, iadd, istore 15, nop.
   */
  private static final Exchange STEREO_STEP =
      new Exchange(FAMILY + "aac.tools.IS", "190915112e360f", "150c0460360f00");

  /** Bytes of a class that are exchanged wherever they stand, for others of the same number. */
  private record Exchange(String className, String fromHex, String toHex) {
    void apply(byte[] bytes) {
      byte[] from = HexFormat.of().parseHex(fromHex);
      byte[] to = HexFormat.of().parseHex(toHex);
      for (int at = 0; at + from.length <= bytes.length; at++) {
        if (Arrays.equals(bytes, at, at + from.length, from, 0, from.length)) {
          System.arraycopy(to, 0, bytes, at, to.length);
        }
      }
    }
  }

  static {
    // Without a sink of ours the library writes its warnings to standard output.
    Logger.addSink(message -> {});
  }

  private final Object decoder;
  private final Method decodeFrame;
  private final Object output;
  private final Method data;
  private final Method channels;
  private final Method bitsPerSample;
  private final Method bigEndian;
  private final Field noiseState;

  /**
   * Starts a decoder.
   *
   * @param config the decoder configuration of the track
   * @throws IOException if the decoder does not accept it
   */
  JcodecAacDecoder(byte[] config) throws IOException {
    try {
      Loader loader = new Loader(JcodecAacDecoder.class.getClassLoader());
      Class<?> decoderClass = loader.loadClass(FAMILY + "aac.Decoder");
      Class<?> outputClass = loader.loadClass(FAMILY + "aac.SampleBuffer");
      Constructor<?> constructor = decoderClass.getConstructor(byte[].class);
      decoder = constructor.newInstance((Object) config.clone());
      output = outputClass.getConstructor().newInstance();
      decodeFrame = decoderClass.getMethod("decodeFrame", byte[].class, outputClass);
      data = outputClass.getMethod("getData");
      channels = outputClass.getMethod("getChannels");
      bitsPerSample = outputClass.getMethod("getBitsPerSample");
      bigEndian = outputClass.getMethod("isBigEndian");
      noiseState = loader.loadClass(NOISY_CLASS).getDeclaredField(STATE_FIELD);
      noiseState.setAccessible(true);
    } catch (InvocationTargetException e) {
      throw new IOException("the decoder refuses its configuration", e.getCause());
    } catch (ReflectiveOperationException | LinkageError e) {
      throw new IOException("the decoder does not load", e);
    }
  }

  /**
   * Decodes one packet.
   *
   * @param number the packet's number in its track
   * @param planar one array a channel; filled with {@code frames} samples, full scale 1.0
   * @return false if the packet does not decode or holds something else; the arrays are undefined
   */
  boolean decode(long number, byte[] packet, float[][] planar, int frames) {
    try {
      // Any odd number does; the multiplier spreads neighbouring packets.
      noiseState.setInt(null, (int) (number * 2_654_435_761L) | 1);
      decodeFrame.invoke(decoder, packet, output);
      byte[] samples = (byte[]) data.invoke(output);
      if (samples == null
          || samples.length != 2 * planar.length * frames
          || (int) channels.invoke(output) != planar.length
          || (int) bitsPerSample.invoke(output) != 16) {
        return false;
      }
      unpack(samples, (boolean) bigEndian.invoke(output), planar, frames);
      return true;
    } catch (InvocationTargetException e) {
      // The decoder gives up on some legal packets, with exceptions of many kinds.
      if (e.getCause() instanceof VirtualMachineError error) {
        throw error;
      }
      return false;
    } catch (IllegalAccessException e) {
      throw new IllegalStateException(e);
    }
  }

  private static void unpack(byte[] samples, boolean bigEndian, float[][] planar, int frames) {
    for (int i = 0, at = 0; i < frames; i++) {
      for (float[] channel : planar) {
        int high = samples[bigEndian ? at : at + 1];
        int low = samples[bigEndian ? at + 1 : at] & 0xFF;
        channel[i] = (high << 8 | low) * 0x1p-15f;
        at += 2;
      }
    }
  }

  /** Defines the decoder's classes anew, the noisy one corrected. */
  private static final class Loader extends ClassLoader {
    static {
      registerAsParallelCapable();
    }

    Loader(ClassLoader parent) {
      super(parent);
    }

    @Override
    protected Class<?> loadClass(String name, boolean resolve) throws ClassNotFoundException {
      if (!name.startsWith(FAMILY)) {
        return super.loadClass(name, resolve);
      }
      synchronized (getClassLoadingLock(name)) {
        Class<?> loaded = findLoadedClass(name);
        return loaded != null ? loaded : define(name);
      }
    }

    private Class<?> define(String name) throws ClassNotFoundException {
      try (InputStream in = getParent().getResourceAsStream(name.replace('.', '/') + ".class")) {
        if (in == null) {
          throw new ClassNotFoundException(name);
        }
        byte[] bytes = in.readAllBytes();
        for (Exchange exchange : List.of(NOISE_MULTIPLIER, STEREO_STEP)) {
          if (name.equals(exchange.className())) {
            exchange.apply(bytes);
          }
        }
        return defineClass(name, bytes, 0, bytes.length);
      } catch (IOException e) {
        throw new ClassNotFoundException(name, e);
      }
    }
  }
}
