package hardpan.bench;

import hardpan.base.MediaException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;

/**
 * The recorded sounds that events are put together from: syllables and words of three casts of
 * voices, and stretches of music. Mono at {@link SoundPool#RATE_HZ}.
 *
 * @param first sounds of the first speaker
 * @param second sounds of the second speaker
 * @param crowd sounds of those who talk beside the cameras
 * @param music stretches of music
 */
record SoundBank(
    List<float[]> first, List<float[]> second, List<float[]> crowd, List<float[]> music) {
  private static final int SOUNDS_OF_A_VOICE = 110;
  private static final double LONGEST_WORD_SECONDS = 2.5;
  private static final double LONGEST_MUSIC_SECONDS = 90;
  private static final int PIECES_OF_MUSIC = 5;

  /**
   * Takes the sounds from two folders.
   *
   * @param seed which sounds, of those the folders hold
   * @throws MediaException if a folder does not hold enough
   */
  static SoundBank load(Path voices, Path music, long seed) throws MediaException {
    SoundPool pool = new SoundPool(voices, seed);
    List<float[]> first = take(pool, SOUNDS_OF_A_VOICE, LONGEST_WORD_SECONDS);
    List<float[]> second = take(pool, SOUNDS_OF_A_VOICE, LONGEST_WORD_SECONDS);
    List<float[]> crowd = take(pool, SOUNDS_OF_A_VOICE, LONGEST_WORD_SECONDS);
    return new SoundBank(
        first,
        second,
        crowd,
        take(new SoundPool(music, seed), PIECES_OF_MUSIC, LONGEST_MUSIC_SECONDS));
  }

  private static List<float[]> take(SoundPool pool, int count, double longest)
      throws MediaException {
    List<float[]> sounds = new ArrayList<>();
    for (int i = 0; i < count; i++) {
      sounds.add(pool.next(longest));
    }
    return sounds;
  }
}
