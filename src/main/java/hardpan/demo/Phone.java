package hardpan.demo;

/**
 * One speech sound: for how long, and what throat and mouth aim at.
 *
 * @param seconds duration, above 0
 * @param f1Hz first formant of an adult man
 * @param f2Hz second formant
 * @param f3Hz third formant
 * @param voicing strength of the voice, 0 to 1
 * @param breath strength of noise made in the throat, 0 to 1
 * @param hiss strength of noise made at teeth and lips, 0 to 1
 * @param hissHz middle of that noise
 * @param hissWidthHz its bandwidth
 * @param pitchFactor pitch relative to the speaker's own, includes accent and declination
 * @param loudness linear factor, includes stress
 */
record Phone(
    double seconds,
    double f1Hz,
    double f2Hz,
    double f3Hz,
    double voicing,
    double breath,
    double hiss,
    double hissHz,
    double hissWidthHz,
    double pitchFactor,
    double loudness) {

  /** A pause: everything closed, the mouth at rest. */
  static Phone rest(double seconds) {
    return new Phone(seconds, 500, 1500, 2500, 0, 0, 0, 3000, 2000, 1, 1);
  }

  /** The same sound with the prosody of its place in the phrase. */
  Phone spoken(double lengthFactor, double newPitchFactor, double newLoudness) {
    return new Phone(
        seconds * lengthFactor,
        f1Hz,
        f2Hz,
        f3Hz,
        voicing,
        breath,
        hiss,
        hissHz,
        hissWidthHz,
        newPitchFactor,
        newLoudness);
  }
}
