package hardpan.bench;

import hardpan.bench.LineUpOutcome.Word;
import hardpan.bench.LineUpTrial.Relation;
import hardpan.signal.Statistics;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.function.Predicate;
import java.util.function.ToDoubleFunction;

/** Tables from the outcomes of a trial set. */
final class LineUpFigures {
  private static final double[] LENGTHS = {0, 4, 6, 10, 20, 60, 180, 1800, 1e9};
  private static final double[] SNRS = {-5, 0, 5, 10, 20, 30.01};
  private static final double[] ROOMS = {-10, -5, 0, 5, 10.01};
  private static final double[] REFERENCES = {0, 1600, 6000, 1e9};

  private final List<LineUpOutcome> all;
  private final long seed;
  private final int first;

  LineUpFigures(List<LineUpOutcome> all, long seed, int first) {
    this.first = first;
    this.all = List.copyOf(all);
    this.seed = seed;
  }

  String page() {
    List<LineUpOutcome> belonging = where(o -> o.trial().relation() == Relation.BELONGS);
    List<LineUpOutcome> fair =
        belonging.stream().filter(o -> o.commonSeconds() >= 10 && o.trial().snrDb() >= 0).toList();
    List<LineUpOutcome> strangers = where(o -> o.trial().relation() == Relation.STRANGER);
    long wrong = count(all, Word.WRONG);
    return """
        ## The line-up's trial set

        Measured by `hardpan bench lineup` (set %d, trials %d to %d; one alone: `--clip N`). Each trial is a clip made with known
        truth and placed on a recording of 10 minutes to 8 hours: recorded voices and music, said and played at speeds and
        levels of their own so that hardly anything comes twice; console feeds, split microphones, and cameras in echoing rooms
        (direct sound 10 dB above to 10 dB below its echoes); noise from 30 dB below to 5 dB above the sound (white, pink,
        talking crowd); clocks up to 100 ppm off, automatic gain, clipping, upside-down wires, 44.1 and 48 kHz, PCM, AAC and MP3.
        A quarter are strangers: other events with the same voices and the same band, no piece of music at a speed that one has in
        the recording (a playback at one speed would be common sound). "Wrong" is a place more than %.0f ms off, or any place for a
        stranger. Neither clips nor recordings of this set were used in development; other sets from the same folders of
        recorded sounds were.

        **%d trials: %d wrong places.** With no wrong place in n trials the true rate is below about 3/n at 95 %% confidence, here
        %.2f %%.

        | of clips that belong | trials | placed | ambiguous | refused | wrong |
        |---|---|---|---|---|---|
        %s
        %s

        ### By class

        Only clips that belong; classes of noise, room and codec only with 10 s or more of common sound.

        | class | trials | placed | ambiguous | refused | wrong |
        |---|---|---|---|---|---|
        %s

        ### Error of the place

        Absolute error in ms over all right places, where the common sound starts, at its middle and at its end.

        | | places | | median | 90 %% | 95 %% | 99 %% | largest |
        |---|---|---|---|---|---|---|---|
        %s

        ### Drift

        | common sound | places | median ppm | 95 %% | largest |
        |---|---|---|---|---|
        %s

        ### Strangers and playbacks

        %d strangers: %d refused, %d called ambiguous, %d placed (wrong).

        | the same recording played twice | trials | placed right | ambiguous | refused | wrong |
        |---|---|---|---|---|---|
        %s

        ### What the confidence is worth

        | answer | stated confidence | answers | true |
        |---|---|---|---|
        %s
        """
        .formatted(
            seed,
            first,
            first + all.size() - 1,
            LineUpOutcome.WRONG_MS,
            all.size(),
            wrong,
            100 * Math.max(3, wrong) / (double) Math.max(1, all.size()),
            row("10 s or more of common sound, noise at most as loud as the sound", fair),
            row("all", belonging),
            String.join("\n", classes(belonging)),
            String.join("\n", errors()),
            String.join("\n", drifts()),
            strangers.size(),
            count(strangers, Word.REFUSED),
            count(strangers, Word.AMBIGUOUS),
            count(strangers, Word.WRONG),
            String.join(
                "\n",
                List.of(
                    row(
                        "nothing else to be heard",
                        where(o -> o.trial().relation() == Relation.REPEATED)),
                    row(
                        "a voice over both",
                        where(o -> o.trial().relation() == Relation.REPEATED_UNDER_VOICE)))),
            String.join("\n", confidences()));
  }

  private List<LineUpOutcome> where(Predicate<LineUpOutcome> wanted) {
    return all.stream().filter(wanted).toList();
  }

  private static long count(List<LineUpOutcome> outcomes, Word word) {
    return outcomes.stream().filter(o -> o.word() == word).count();
  }

  private static String row(String name, List<LineUpOutcome> outcomes) {
    long right = count(outcomes, Word.RIGHT);
    return String.format(
        Locale.ROOT,
        "| %s | %d | %d (%.1f %%) | %d | %d | %d |",
        name,
        outcomes.size(),
        right,
        outcomes.isEmpty() ? 0 : 100.0 * right / outcomes.size(),
        count(outcomes, Word.AMBIGUOUS),
        count(outcomes, Word.REFUSED),
        count(outcomes, Word.WRONG));
  }

  private static List<String> classes(List<LineUpOutcome> belonging) {
    List<String> rows = new ArrayList<>();
    bins(rows, "common sound %s s", belonging, LENGTHS, LineUpOutcome::commonSeconds);
    List<LineUpOutcome> longer = belonging.stream().filter(o -> o.commonSeconds() >= 10).toList();
    bins(rows, "sound over noise %s dB", longer, SNRS, o -> o.trial().snrDb());
    for (LineUpTrial.Noise noise : LineUpTrial.Noise.values()) {
      rows.add(
          row(
              "noise: " + noise.name().toLowerCase(Locale.ROOT),
              longer.stream().filter(o -> o.trial().noise() == noise).toList()));
    }
    for (LineUpTrial.Feed feed : List.of(LineUpTrial.Feed.CONSOLE, LineUpTrial.Feed.SPLIT)) {
      rows.add(
          row(
              "feed: " + feed.name().toLowerCase(Locale.ROOT),
              longer.stream().filter(o -> o.trial().feed() == feed).toList()));
    }
    bins(
        rows,
        "far, direct sound over echoes %s dB",
        longer.stream().filter(o -> o.trial().feed() == LineUpTrial.Feed.FAR).toList(),
        ROOMS,
        o -> o.trial().directToRestDb());
    for (LineUpTrial.Codec codec : LineUpTrial.Codec.values()) {
      rows.add(row(codec.says, longer.stream().filter(o -> o.trial().codec() == codec).toList()));
    }
    bins(rows, "reference of %s s", longer, REFERENCES, LineUpOutcome::referenceSeconds);
    return rows;
  }

  private static void bins(
      List<String> rows,
      String name,
      List<LineUpOutcome> outcomes,
      double[] edges,
      ToDoubleFunction<LineUpOutcome> value) {
    for (int i = 0; i + 1 < edges.length; i++) {
      double from = edges[i];
      double to = edges[i + 1];
      List<LineUpOutcome> inside =
          outcomes.stream()
              .filter(o -> value.applyAsDouble(o) >= from && value.applyAsDouble(o) < to)
              .toList();
      String range =
          to > 1e8
              ? String.format(Locale.ROOT, "%.0f and more", from)
              : String.format(Locale.ROOT, "%.0f to %.0f", from, to);
      if (!inside.isEmpty()) {
        rows.add(row(name.formatted(range), inside));
      }
    }
  }

  private List<String> errors() {
    List<String> rows = new ArrayList<>();
    for (boolean room : new boolean[] {false, true}) {
      List<LineUpOutcome> right = where(o -> o.word() == Word.RIGHT && o.roomSound() == room);
      String[] places = {"start", "middle", "end"};
      for (int i = 0; i < places.length; i++) {
        double share = i / 2.0;
        double[] errors = right.stream().mapToDouble(o -> Math.abs(o.errorMs(share))).toArray();
        rows.add(
            String.format(
                Locale.ROOT,
                "| %s | %d | %s | %.4f | %.4f | %.4f | %.4f | %.4f |",
                room ? "room sound" : "direct feeds",
                right.size(),
                places[i],
                Statistics.quantile(errors, 0.5),
                Statistics.quantile(errors, 0.9),
                Statistics.quantile(errors, 0.95),
                Statistics.quantile(errors, 0.99),
                Arrays.stream(errors).max().orElse(Double.NaN)));
      }
    }
    return rows;
  }

  private List<String> drifts() {
    List<String> rows = new ArrayList<>();
    double[] edges = {10, 60, 180, 600, 1800, 1e9};
    String[] names = {
      "10 s to 1 min", "1 to 3 min", "3 to 10 min", "10 to 30 min", "30 min and more"
    };
    for (int i = 0; i < names.length; i++) {
      double from = edges[i];
      double to = edges[i + 1];
      double[] errors =
          where(o -> o.word() == Word.RIGHT && o.commonSeconds() >= from && o.commonSeconds() < to)
              .stream()
              .mapToDouble(o -> Math.abs(o.driftErrorPpm()))
              .toArray();
      rows.add(
          String.format(
              Locale.ROOT,
              "| %s | %d | %.3f | %.3f | %.3f |",
              names[i],
              errors.length,
              Statistics.quantile(errors, 0.5),
              Statistics.quantile(errors, 0.95),
              Arrays.stream(errors).max().orElse(Double.NaN)));
    }
    return rows;
  }

  private List<String> confidences() {
    List<String> rows = new ArrayList<>();
    double[] edges = {0, 0.5, 0.8, 0.9, 0.95, 0.98, 1.01};
    for (boolean placed : new boolean[] {true, false}) {
      for (int i = 0; i + 1 < edges.length; i++) {
        double from = edges[i];
        double to = edges[i + 1];
        List<LineUpOutcome> inside =
            where(
                o ->
                    (placed
                            ? o.word() == Word.RIGHT || o.word() == Word.WRONG
                            : o.word() == Word.REFUSED)
                        && o.placement().confidence() >= from
                        && o.placement().confidence() < to);
        if (inside.isEmpty()) {
          continue;
        }
        long isTrue =
            inside.stream()
                .filter(o -> placed ? o.word() == Word.RIGHT : !o.trial().belongs())
                .count();
        rows.add(
            String.format(
                Locale.ROOT,
                "| %s | %.2f (%.2f to %.2f) | %d | %.1f %% |",
                placed ? "placed" : "no common sound",
                inside.stream().mapToDouble(o -> o.placement().confidence()).average().orElse(0),
                from,
                Math.min(1, to),
                inside.size(),
                100.0 * isTrue / inside.size()));
      }
    }
    return rows;
  }
}
