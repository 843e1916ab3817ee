package hardpan.shoot;

import hardpan.lanes.Lane;
import hardpan.lanes.Lane.Format;
import hardpan.lanes.LaneOffer;
import hardpan.lanes.LanePlanner;
import hardpan.lanes.LaneSource;
import hardpan.lanes.ParentFile;
import hardpan.lanes.PlannedFile;
import hardpan.lanes.SampleChoice;
import hardpan.lineup.Placement;
import hardpan.media.ReaderChoice;
import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.Nullable;

/** Which lanes a hand-over would write, before anything is written; opens no file. */
public final class LaneList {
  private LaneList() {}

  /**
   * A lane that could be written.
   *
   * @param source path of its source, or the name of its run
   * @param device its device
   * @param key the channel by which decisions are made about it, from 0
   * @param channels the source's channels it is made of, from 0
   * @param name what it is called
   * @param role what it is
   * @param roleGuessed whether nobody said what it is
   * @param state whether it is written, and why not
   * @param pair whether the other side of a pair carries the same
   * @param file name of the file it would go into; null if it is not written
   * @param format samples of that file; null if it is not written
   * @param corrected whether its clock would be corrected
   * @param rounded whether the file has fewer bits than the sound needs
   * @param unplaced whether its source has no place on the reference's clock
   * @param startSeconds where its source starts on the reference's clock; null if it has no place
   * @param seconds how long its source is
   */
  public record Row(
      String source,
      String device,
      int key,
      List<Integer> channels,
      String name,
      String role,
      boolean roleGuessed,
      LaneOffer.State state,
      LaneOffer.Twin pair,
      @Nullable String file,
      @Nullable Format format,
      boolean corrected,
      boolean rounded,
      boolean unplaced,
      @Nullable Double startSeconds,
      double seconds) {
    /** Copies the list. */
    public Row {
      channels = List.copyOf(channels);
    }

    /** Whether it is written. */
    public boolean isWritten() {
      return file != null;
    }
  }

  /** All lanes, in the order of sources and channels. */
  public static List<Row> of(Shoot shoot, Wishes wishes) {
    List<LaneSource> sources = LaneSources.of(shoot, ReaderChoice.BEST, source -> ParentFile.NONE);
    List<LaneOffer> offers = LanePlanner.offers(sources, wishes.lanes());
    List<PlannedFile> files = files(shoot, wishes, offers, wishes.files().arrangement().samples());
    List<PlannedFile> needed = files(shoot, wishes, offers, SampleChoice.KEPT);
    List<Row> rows = new ArrayList<>();
    for (LaneOffer offer : offers) {
      LaneSource source = offer.source();
      Lane lane = lane(files, offer);
      Lane exact = lane(needed, offer);
      rows.add(
          new Row(
              source.path(),
              source.device(),
              offer.key(),
              offer.channels(),
              offer.name(),
              offer.role(),
              offer.roleGuessed(),
              offer.state(),
              offer.pair(),
              lane == null ? null : lane.fileName(),
              lane == null ? null : lane.format(),
              lane != null && lane.resample(),
              lane != null && exact != null && isRounded(lane.format(), exact.format()),
              isRefused(source),
              startSeconds(source, shoot),
              (double) source.frameCount() / source.facts().rateHz()));
    }
    return rows;
  }

  private static List<PlannedFile> files(
      Shoot shoot, Wishes wishes, List<LaneOffer> offers, SampleChoice samples) {
    return LanePlanner.files(
        offers,
        LaneSources.referenceFacts(shoot),
        wishes.files().correction(),
        wishes.files().arrangement().withSamples(samples),
        shoot.name());
  }

  private static @Nullable Lane lane(List<PlannedFile> files, LaneOffer offer) {
    for (PlannedFile file : files) {
      for (Lane lane : file.lanes()) {
        if (lane.source().path().equals(offer.source().path())
            && lane.channels().equals(offer.channels())) {
          return lane;
        }
      }
    }
    return null;
  }

  private static boolean isRefused(LaneSource source) {
    Placement placement = source.placement();
    return placement != null && placement.state() != Placement.State.PLACED;
  }

  private static @Nullable Double startSeconds(LaneSource source, Shoot shoot) {
    Placement placement = source.placement();
    if (placement != null) {
      return placement.state() == Placement.State.PLACED ? placement.offsetSeconds() : null;
    }
    boolean isReference =
        shoot
            .reference()
            .map(reference -> shoot.runOf(reference).laneSource().equals(source.path()))
            .orElse(false);
    return isReference ? (Double) 0.0 : null;
  }

  private static boolean isRounded(Format has, Format needs) {
    return !has.isFloat() && (needs.isFloat() || has.bits() < needs.bits());
  }
}
