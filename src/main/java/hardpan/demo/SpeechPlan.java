package hardpan.demo;

import java.util.ArrayList;
import java.util.List;

/**
 * Babble with the rhythm of talk: phrases of words of syllables of speech sounds, with stress,
 * declination and pauses, drawn from a seed. It means nothing in any language and never repeats.
 *
 * <p>Vowel formants: Peterson and Barney, JASA 24 (1952), averages for men, rounded and from
 * memory. Durations of speech sounds: common practice, no source.
 */
final class SpeechPlan {
  /** F1, F2, F3 in hertz. */
  private static final double[][] VOWELS = {
    {270, 2290, 3010}, {390, 1990, 2550}, {530, 1840, 2480}, {660, 1720, 2410}, {730, 1090, 2440},
    {570, 840, 2410}, {440, 1020, 2240}, {300, 870, 2240}, {640, 1190, 2390}, {490, 1350, 1690},
  };

  private final Dice dice;
  private final VoiceMaker.Voice voice;

  SpeechPlan(VoiceMaker.Voice voice, long seed) {
    this.voice = voice;
    this.dice = new Dice(Dice.seedFor(seed, "speech plan"));
  }

  /** Talk that fills the given time but for the last pause; starts with speech. */
  List<Phone> talk(double seconds) {
    List<Phone> phones = new ArrayList<>();
    double filled = 0;
    while (filled < seconds - 0.6) {
      List<Phone> phrase = phrase();
      for (Phone phone : phrase) {
        if (filled + phone.seconds() > seconds) {
          break;
        }
        phones.add(phone);
        filled += phone.seconds();
      }
      double pause = Math.min(pauseSeconds(), seconds - filled);
      if (pause > 0) {
        phones.add(Phone.rest(pause));
        filled += pause;
      }
    }
    return phones;
  }

  private double pauseSeconds() {
    return dice.chance(0.6) ? dice.between(0.2, 0.5) : dice.between(0.5, 1.5);
  }

  private List<Phone> phrase() {
    int words = 2 + dice.below(7);
    double phraseLoudness = Math.pow(10, dice.between(-2.5, 1) / 20);
    double rate = voice.syllableRateFactor() * dice.between(0.9, 1.12);
    double finalMove = dice.chance(0.75) ? -0.16 : 0.22;
    List<Phone> phones = new ArrayList<>();
    for (int word = 0; word < words; word++) {
      double place = word / (double) words;
      int syllables = 1 + dice.below(3);
      int stressed = dice.below(syllables);
      for (int syllable = 0; syllable < syllables; syllable++) {
        boolean stress = syllable == stressed;
        boolean last = word == words - 1 && syllable == syllables - 1;
        double pitch = 1.13 - 0.24 * place + dice.between(-0.04, 0.04);
        if (stress) {
          pitch += dice.between(0.04, 0.2);
        }
        if (last) {
          pitch += finalMove;
        }
        double loudness = phraseLoudness * (stress ? 1.0 : dice.between(0.55, 0.8));
        double length = (stress ? 1.2 : 0.85) * (last ? 1.5 : 1) / rate;
        for (Phone phone : syllable()) {
          phones.add(phone.spoken(length, pitch, loudness));
        }
      }
      if (dice.chance(0.15)) {
        phones.add(Phone.rest(dice.between(0.03, 0.09)));
      }
    }
    return phones;
  }

  private List<Phone> syllable() {
    List<Phone> phones = new ArrayList<>();
    if (dice.chance(0.9)) {
      addConsonant(phones);
    }
    double[] vowel = VOWELS[dice.below(VOWELS.length)];
    phones.add(vowel(vowel, dice.between(0.07, 0.13)));
    if (dice.chance(0.2)) {
      phones.add(vowel(VOWELS[dice.below(VOWELS.length)], dice.between(0.05, 0.08)));
    }
    if (dice.chance(0.4)) {
      addConsonant(phones);
    }
    return phones;
  }

  private Phone vowel(double[] formants, double seconds) {
    double spread = dice.between(0.94, 1.06);
    return new Phone(
        seconds,
        formants[0] * spread,
        formants[1] * dice.between(0.94, 1.06),
        formants[2] * dice.between(0.97, 1.03),
        1,
        0.06,
        0,
        5000,
        3000,
        1,
        1);
  }

  private void addConsonant(List<Phone> phones) {
    switch (dice.below(8)) {
      case 0, 1 -> phones.add(hiss(0));
      case 2 -> phones.add(hiss(0.5));
      case 3, 4 -> addStop(phones, false);
      case 5 -> addStop(phones, true);
      case 6 -> phones.add(hummed(260, dice.between(900, 1700), 2300, 0.45));
      default -> phones.add(hummed(dice.between(300, 420), dice.between(700, 1900), 2500, 0.6));
    }
  }

  /** s, sh, f and their voiced sisters, and h. */
  private Phone hiss(double voicing) {
    double length = dice.between(0.07, 0.13);
    return switch (dice.below(4)) {
      case 0 -> noise(length, voicing, 0.02, 0.55, dice.between(5600, 7600), 3200);
      case 1 -> noise(length, voicing, 0.02, 0.6, dice.between(2700, 3900), 1700);
      case 2 -> noise(length, voicing, 0.03, 0.3, dice.between(6500, 9500), 7000);
      default -> noise(length * 0.7, voicing, 0.5, 0.02, 2500, 3000);
    };
  }

  /** Closure, burst and, if unvoiced, a puff of breath. */
  private void addStop(List<Phone> phones, boolean voiced) {
    double burstHz =
        switch (dice.below(3)) {
          case 0 -> dice.between(700, 1400);
          case 1 -> dice.between(3800, 5600);
          default -> dice.between(1700, 2700);
        };
    double closure = dice.between(0.04, 0.08);
    phones.add(
        voiced
            ? new Phone(closure, 220, 1200, 2300, 0.16, 0, 0, burstHz, 1800, 1, 1)
            : new Phone(closure, 350, 1400, 2400, 0, 0, 0, burstHz, 1800, 1, 1));
    phones.add(noise(dice.between(0.008, 0.014), voiced ? 0.3 : 0, 0.15, 1.3, burstHz, 2200));
    if (!voiced) {
      phones.add(noise(dice.between(0.02, 0.05), 0, 0.45, 0.12, burstHz * 1.2, 3000));
    }
  }

  private Phone hummed(double f1Hz, double f2Hz, double f3Hz, double voicing) {
    return new Phone(
        dice.between(0.05, 0.09), f1Hz, f2Hz, f3Hz, voicing, 0.02, 0, 4000, 3000, 1, 1);
  }

  private Phone noise(
      double seconds, double voicing, double breath, double hiss, double hissHz, double width) {
    return new Phone(seconds, 380, 1600, 2550, voicing, breath, hiss, hissHz, width, 1, 1);
  }
}
