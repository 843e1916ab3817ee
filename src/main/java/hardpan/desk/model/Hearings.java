package hardpan.desk.model;

import hardpan.report.ChannelReport;
import hardpan.report.SourceReport;
import hardpan.report.Standing;
import java.util.ArrayList;
import java.util.List;

/** The ways to listen to a source. */
final class Hearings {
  private Hearings() {}

  static List<Hearing> of(ShownShoot shown, SourceRow row) {
    SourceReport source = shown.report(row).orElse(null);
    if (source == null || source.channels().isEmpty()) {
      return List.of();
    }
    List<Hearing> ways = new ArrayList<>();
    int channels = source.channels().size();
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
      ways.add(new Hearing(Hearing.Kind.SUM, 0, Texts.of("listen.sum")));
    }
    if (channels == 2) {
      ways.add(new Hearing(Hearing.Kind.DIFFERENCE, 0, Texts.of("listen.difference")));
    }
    if (row.standing() == Standing.PLACED || row.standing() == Standing.AMBIGUOUS) {
      ways.add(new Hearing(Hearing.Kind.ACROSS, 0, Texts.of("listen.across")));
      ways.add(new Hearing(Hearing.Kind.TOGETHER, 0, Texts.of("listen.together")));
    }
    return ways;
  }
}
