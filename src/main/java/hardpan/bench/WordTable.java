package hardpan.bench;

import java.util.HashMap;
import java.util.List;
import java.util.Map;

/** How often each true word came out as which word. */
final class WordTable {
  private final List<String> words;
  private final Map<String, Integer> counts = new HashMap<>();

  WordTable(List<String> words) {
    this.words = words;
  }

  void add(String truth, String found) {
    counts.merge(truth + " " + found, 1, Integer::sum);
  }

  /** Rows are the truth; words that are never true have none. */
  String text() {
    StringBuilder text = new StringBuilder("| truth \\ verdict |");
    words.forEach(word -> text.append(' ').append(word).append(" |"));
    text.append("\n|---|").append("---:|".repeat(words.size())).append('\n');
    for (String truth : words) {
      if (counts.keySet().stream().anyMatch(key -> key.startsWith(truth + " "))) {
        text.append("| ").append(truth).append(" |");
        for (String found : words) {
          Integer count = counts.get(truth + " " + found);
          text.append(count == null ? " |" : " " + count + " |");
        }
        text.append('\n');
      }
    }
    return text.toString();
  }
}
