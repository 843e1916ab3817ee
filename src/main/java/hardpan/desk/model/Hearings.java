package hardpan.desk.model;

import hardpan.report.ChannelReport;
import hardpan.report.PairReport;
import hardpan.report.SourceReport;
import java.util.ArrayList;
import java.util.List;

/**
 * The ways to listen to a source; first the one that sounds as its lane will, where both sides are
 * one signal with opposite polarity.
 */
final class Hearings {
  private Hearings() {}

  static List<Hearing> of(ShownShoot shown, SourceRow row, PlaceShown place) {
    SourceReport source = shown.report(row).orElse(null);
    if (source == null || source.channels().isEmpty()) {
      return List.of();
    }
    List<Hearing> ways = new ArrayList<>();
    int channels = source.channels().size();
    PairReport pair = source.pair();
    boolean turned = pair != null && pair.verdict() == PairReport.Verdict.INVERTED;
    if (channels == 2) {
      ways.add(new Hearing(Hearing.Kind.APART, 0, Texts.of("listen.apart")));
    }
    for (ChannelReport channel : source.channels()) {
      String name = Details.name(channel);
      ways.add(new Hearing(Hearing.Kind.ALONE, channel.index(), Texts.of("listen.alone", name)));
    }
    boolean joined =
        shown.source(row).filter(one -> shown.shoot().runOf(one).parts().size() > 1).isPresent();
    if (joined) {
      for (ChannelReport channel : source.channels()) {
        String words = Texts.of("listen.lane", Details.name(channel));
        ways.add(new Hearing(Hearing.Kind.LANE, channel.index(), words));
      }
    }
    if (channels > 1) {
      ways.add(
          new Hearing(Hearing.Kind.SUM, 0, Texts.of(turned ? "listen.sum.cancels" : "listen.sum")));
    }
    if (channels == 2) {
      Hearing difference =
          new Hearing(
              Hearing.Kind.DIFFERENCE,
              0,
              Texts.of(turned ? "listen.difference.lane" : "listen.difference"));
      ways.add(turned ? 0 : ways.size(), difference);
    }
    if (place.isPossible() && place.offsetSeconds() != null) {
      ways.add(new Hearing(Hearing.Kind.ACROSS, 0, Texts.of("listen.across")));
      ways.add(new Hearing(Hearing.Kind.TOGETHER, 0, Texts.of("listen.together")));
    }
    return ways;
  }
}
