package hardpan.bench;

import hardpan.base.MediaAccessException;
import hardpan.base.MediaException;
import hardpan.media.SourceFinder;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;

/**
 * The recorded voices and music all trials draw from, read once: for each folder of voices (one
 * speaker) a number of utterances, for each piece of music a stretch. Draws are talk of one
 * speaker, music, or their synthetic counterparts.
 */
final class TrialSounds {
  private static final int UTTERANCES = 28;
  private static final double MUSIC_SECONDS = 50;

  private final List<List<float[]>> speakers;
  private final List<float[]> music;

  private TrialSounds(List<List<float[]>> speakers, List<float[]> music) {
    this.speakers = speakers;
    this.music = music;
  }

  /**
   * Reads what is needed of two folders.
   *
   * @throws MediaException if they hold too little
   */
  static TrialSounds read(Path voices, Path music) throws MediaException {
    Map<Path, List<Path>> folders = new TreeMap<>();
    for (SourceFinder.Candidate found : SourceFinder.find(List.of(voices)).candidates()) {
      Path folder = found.path().getParent();
      if (folder != null) {
        folders.computeIfAbsent(folder, key -> new ArrayList<>()).add(found.path());
      }
    }
    Map<Path, List<float[]>> speakers = new LinkedHashMap<>();
    for (Map.Entry<Path, List<Path>> folder : folders.entrySet()) {
      // Two folders of one language are one speaker; the first is enough.
      Path language = folder.getKey().getParent();
      if (language == null || speakers.containsKey(language) || folder.getValue().size() < 10) {
        continue;
      }
      List<Path> files = new ArrayList<>(folder.getValue());
      files.sort(null);
      List<float[]> sounds = new ArrayList<>();
      for (Path file : files.subList(0, Math.min(UTTERANCES, files.size()))) {
        float[] sound = SoundPool.read(file, 3);
        if (TrialCraft.peak(sound) > 0.1 && !pilesUp(sound)) {
          sounds.add(trimmed(sound));
        }
      }
      // Where many pile up, the others of that speaker are not above suspicion.
      boolean clean =
          4 * sounds.size() >= 3 * Math.min(UTTERANCES, files.size())
              && !hums(sounds, 50)
              && !hums(sounds, 60);
      speakers.put(language, clean ? sounds : List.of());
    }
    List<float[]> pieces = new ArrayList<>();
    for (SourceFinder.Candidate found : SourceFinder.find(List.of(music)).candidates()) {
      pieces.add(SoundPool.read(found.path(), MUSIC_SECONDS));
    }
    speakers.values().removeIf(List::isEmpty);
    if (speakers.size() < 4 || pieces.isEmpty()) {
      throw new MediaAccessException("There are not enough recorded sounds in the folders.");
    }
    return new TrialSounds(List.copyOf(speakers.values()), pieces);
  }

  /**
   * Whether a recording was cut off before it came to us, so that it cannot stand for clean sound:
   * its values are more frequent near its peak than some way below.
   */
  private static boolean pilesUp(float[] sound) {
    for (int sign = -1; sign <= 1; sign += 2) {
      float peak = 0;
      for (float x : sound) {
        peak = Math.max(peak, sign * x);
      }
      int near = 0;
      int below = 0;
      for (float x : sound) {
        near += sign * x > 0.84 * peak && sign * x < 0.98 * peak ? 1 : 0;
        below += sign * x > 0.64 * peak && sign * x < 0.78 * peak ? 1 : 0;
      }
      if (near > 20 && near > 0.9 * below) {
        return true;
      }
    }
    return false;
  }

  /** Whether a speaker was recorded with mains hum, so that hum found later would be no error. */
  private static boolean hums(List<float[]> sounds, double mainsHz) {
    for (int k = 1; k <= 3; k++) {
      double line = 0;
      double beside = 0;
      for (double hz = k * mainsHz - 0.8; hz <= k * mainsHz + 0.8; hz += 0.4) {
        line = Math.max(line, power(sounds, hz));
      }
      for (double off = 3.5; off < 7; off += 0.5) {
        beside += power(sounds, k * mainsHz - off) / 14 + power(sounds, k * mainsHz + off) / 14;
      }
      if (line > 5 * beside) {
        return true;
      }
    }
    return false;
  }

  /** Power at one frequency, over all sounds. */
  private static double power(List<float[]> sounds, double hz) {
    double step = 2 * Math.PI * hz / SoundPool.RATE_HZ;
    double twice = 2 * Math.cos(step);
    double power = 0;
    for (float[] sound : sounds) {
      double last = 0;
      double before = 0;
      for (int i = 0; i < sound.length; i++) {
        double window = 0.5 - 0.5 * Math.cos(2 * Math.PI * i / sound.length);
        double next = window * sound[i] + twice * last - before;
        before = last;
        last = next;
      }
      power += last * last + before * before - twice * last * before;
    }
    return power;
  }

  /** Without the quiet ends. */
  private static float[] trimmed(float[] sound) {
    int from = 0;
    int to = sound.length;
    while (from < to && Math.abs(sound[from]) < 0.01) {
      from++;
    }
    while (to > from && Math.abs(sound[to - 1]) < 0.01) {
      to--;
    }
    return Arrays.copyOfRange(sound, Math.max(0, from - 500), Math.min(sound.length, to + 2000));
  }

  /** Talk of one speaker, recorded two times out of three, peak 1. */
  float[] talk(TrialDice dice, double seconds, int rateHz) {
    return dice.chance(0.34)
        ? SynthSounds.talk(dice, seconds, rateHz, dice.between(85, 230))
        : recordedTalk(dice, seconds, rateHz);
  }

  /** Utterances of one recorded speaker with pauses between them, peak 1. */
  float[] recordedTalk(TrialDice dice, double seconds, int rateHz) {
    List<float[]> speaker = dice.one(speakers);
    float[] out = new float[(int) (seconds * rateHz)];
    int at = (int) (dice.between(0, 0.5) * rateHz);
    while (at < out.length) {
      float[] sound = dice.one(speaker);
      double loud = Math.pow(10, -dice.between(0, 0.5));
      // The noise that recordings carry must not end in a step.
      for (int i = 0; i < sound.length && at + i < out.length; i++) {
        double edge = Math.min(1, Math.min(i, sound.length - 1 - i) / 400.0);
        out[at + i] += (float) (loud * edge * sound[i]);
      }
      at += sound.length + (int) (dice.between(-0.03, 0.6) * rateHz);
    }
    return TrialCraft.toPeak(out, 1);
  }

  /** A stretch of recorded or made music, peak 1. */
  float[] music(TrialDice dice, double seconds, int rateHz) {
    if (dice.chance(0.4)) {
      return SynthSounds.music(dice, seconds, rateHz);
    }
    float[] piece = dice.one(music);
    int length = (int) (seconds * rateHz);
    int from = dice.below(Math.max(1, piece.length - length));
    float[] out = new float[length];
    for (int i = 0; i < length; i++) {
      out[i] = piece[(from + i) % piece.length];
    }
    return TrialCraft.toPeak(out, 1);
  }

  /** Talk or music. */
  float[] any(TrialDice dice, double seconds, int rateHz) {
    return dice.chance(0.65) ? talk(dice, seconds, rateHz) : music(dice, seconds, rateHz);
  }
}
