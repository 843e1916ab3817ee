package hardpan.desk.model;

/** Findings in a few words, for where there is no room for a sentence. */
final class FindingWords {
  private FindingWords() {}

  /** The words for a code of the report; the code itself, without hyphens, if it is a new one. */
  static String of(String code) {
    String key = "finding." + code;
    return Texts.has(key) ? Texts.of(key) : code.replace('-', ' ');
  }
}
