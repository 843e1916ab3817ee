package hardpan.bench;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;

/** How sure verdicts said they were, beside how often they were right. */
final class Reliability {
  private final List<Double> confidences = new ArrayList<>();
  private final List<Boolean> rights = new ArrayList<>();

  void add(double confidence, boolean right) {
    confidences.add(confidence);
    rights.add(right);
  }

  /** Told confidence beside the share that was right. */
  String text() {
    StringBuilder text =
        new StringBuilder("| told confidence | mean told | right | of |\n|---|---:|---:|---:|\n");
    double[] edges = {0, 0.5, 0.7, 0.8, 0.9, 0.95, 0.98, 1.001};
    for (int e = 0; e + 1 < edges.length; e++) {
      int count = 0;
      int right = 0;
      double sum = 0;
      for (int i = 0; i < rights.size(); i++) {
        double told = confidences.get(i);
        if (told >= edges[e] && told < edges[e + 1]) {
          count++;
          right += rights.get(i) ? 1 : 0;
          sum += told;
        }
      }
      if (count > 0) {
        text.append(
            String.format(
                Locale.ROOT,
                "| %.2f to %.2f | %.3f | %.1f %% | %d |%n",
                edges[e],
                Math.min(1, edges[e + 1]),
                sum / count,
                100.0 * right / count,
                count));
      }
    }
    return text.toString();
  }
}
