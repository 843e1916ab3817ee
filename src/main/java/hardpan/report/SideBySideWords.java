package hardpan.report;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.regex.Pattern;

/** What is said of two sides: once what is the same, and each side's own beside its name. */
final class SideBySideWords {
  private static final Pattern BETWEEN_SENTENCES = Pattern.compile("(?<=\\.) (?=\\p{Lu})");

  private SideBySideWords() {}

  /** Both texts as one; sentences that both begin or end with are not repeated. */
  static String of(String one, String saysOne, String two, String saysTwo) {
    List<String> first = sentences(saysOne);
    List<String> second = sentences(saysTwo);
    int shorter = Math.min(first.size(), second.size());
    int start = 0;
    while (start < shorter && first.get(start).equals(second.get(start))) {
      start++;
    }
    int end = 0;
    while (end < shorter - start && last(first, end).equals(last(second, end))) {
      end++;
    }
    List<String> all = new ArrayList<>(first.subList(0, start));
    own(all, one, first.subList(start, first.size() - end));
    own(all, two, second.subList(start, second.size() - end));
    all.addAll(first.subList(first.size() - end, first.size()));
    return String.join(" ", all);
  }

  private static String last(List<String> sentences, int before) {
    return sentences.get(sentences.size() - 1 - before);
  }

  private static void own(List<String> all, String name, List<String> sentences) {
    if (!sentences.isEmpty()) {
      String begun = name.substring(0, 1).toUpperCase(Locale.ROOT) + name.substring(1);
      all.add(begun + ": " + String.join(" ", sentences));
    }
  }

  private static List<String> sentences(String text) {
    return text.isBlank() ? List.of() : List.of(BETWEEN_SENTENCES.split(text));
  }
}
