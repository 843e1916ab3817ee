package hardpan.report;

/**
 * What a pair verdict most likely means at the plug, and what to do. Contacts: on a camera's stereo
 * jack the tip carries left, the ring right, the sleeve is common (common practice, no source); on
 * a balanced XLR pin 1 is the shield, pin 2 hot, pin 3 cold (IEC 60268-12, from memory).
 */
public final class PairWiring {
  private PairWiring() {}

  /** The likely cause, one sentence. */
  public static String cause(PairReport.Verdict verdict) {
    return switch (verdict) {
      case ISOLATED ->
          "Two microphones through a splitter: one on the tip (left), one on the ring (right), with"
              + " the sleeve in common.";
      case SAME_SIGNAL ->
          "One feed reaches tip and ring alike: a mono source bridged to both contacts, or a mono"
              + " microphone the camera copies to both sides.";
      case INVERTED ->
          "A console's balanced output in the camera's stereo jack: the tip carries pin 2 (hot) as"
              + " left, the ring pin 3 (cold) as right, the sleeve pin 1.";
      case LOWER_COPY ->
          "The camera or the cable keeps a second, lower track of one feed as a safety against loud"
              + " moments.";
      case STEREO -> "A stereo microphone or a stereo mix: tip left, ring right, sleeve common.";
      case ONE_SILENT ->
          "A plug not pushed home, a mono plug (tip and sleeve only) that grounds the ring, a dead"
              + " battery in one microphone, or a broken wire on one contact.";
      case BOTH_SILENT ->
          "Nothing was plugged in, the transmitter or the output was off, or the cable is broken at"
              + " the sleeve.";
      case UNKNOWN -> "There is too little clear sound on both sides to tell how they are wired.";
    };
  }

  /** What the hand-over does, what to do with this material, and what to do next time. */
  public static String remedy(PairReport.Verdict verdict) {
    return switch (verdict) {
      case ISOLATED ->
          "Nothing to mend: keep left and right as two lanes, and never mix them blind.";
      case SAME_SIGNAL -> "The hand-over writes one lane; a second would add nothing.";
      case INVERTED ->
          "The hand-over mends it: it writes one lane, left minus right. In the clip itself never"
              + " add the two sides: they cancel. Next time use a transformer or an adapter from"
              + " balanced to unbalanced, or take pin 2 against pin 1 only (what becomes of pin 3"
              + " depends on the output: see the console's manual).";
      case LOWER_COPY -> "Use the louder side, and the lower one where the louder is clipped.";
      case STEREO -> "Keep the two sides together.";
      case ONE_SILENT ->
          "Use the side that carries sound; next time push the plug home, check the batteries and"
              + " use a plug with three contacts.";
      case BOTH_SILENT ->
          "Look for the same moment on another device; next time listen at the camera's headphone"
              + " output before the start.";
      case UNKNOWN -> "Listen to both sides before you drop one.";
    };
  }
}
