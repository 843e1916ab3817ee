package hardpan.shoot;

import hardpan.lineup.Placement;
import hardpan.lineup.StampVote;
import hardpan.lineup.StampVote.Stamp;
import hardpan.media.StartClaim;
import hardpan.media.StartClaim.Trust;
import java.time.LocalDateTime;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.List;
import java.util.Map;

/** Lets the clocks of devices decide where the sound fits two places about equally. */
final class StartStamps {
  private StartStamps() {}

  /**
   * The placements, with those decided that a trusted clock can decide.
   *
   * @param pieces what was lined up
   * @param solved placements by the first path of each piece
   */
  static Map<String, Placement> decided(List<RunPiece> pieces, Map<String, Placement> solved) {
    Map<String, Placement> decided = new HashMap<>(solved);
    for (RunPiece piece : pieces) {
      String id = piece.run().firstPath();
      Placement own = solved.get(id);
      if (own == null || own.otherPlaces().isEmpty()) {
        continue;
      }
      List<StampVote.Sibling> siblings = new ArrayList<>();
      for (RunPiece other : pieces) {
        Placement there = solved.get(other.run().firstPath());
        if (other != piece && there != null && isOneDevice(piece, other)) {
          siblings.add(new StampVote.Sibling(there, stamps(other.first())));
        }
      }
      decided.put(id, StampVote.decided(own, stamps(piece.first()), siblings));
    }
    return decided;
  }

  private static boolean isOneDevice(RunPiece one, RunPiece other) {
    return one.first().device().equals(other.first().device());
  }

  /** What may be believed of a source's claims, the most trusted first. */
  private static List<Stamp> stamps(ShootSource source) {
    Analysis analysis = source.analysis();
    if (analysis == null) {
      return List.of();
    }
    List<StartClaim> claims = new ArrayList<>(analysis.facts().origin().startClaims());
    claims.removeIf(claim -> claim.trust().compareTo(Trust.FAIR) < 0);
    claims.sort(
        Comparator.comparing(StartClaim::trust).reversed().thenComparing(StartClaim::origin));
    List<Stamp> stamps = new ArrayList<>();
    for (StartClaim claim : claims) {
      LocalDateTime local = claim.local();
      if (local != null) {
        ZoneOffset offset = claim.offset();
        ZoneOffset zone = offset == null ? ZoneOffset.UTC : offset;
        double seconds = local.toInstant(zone).toEpochMilli() / 1000.0;
        // A time with a zone and one without are not told from the same point.
        stamps.add(new Stamp(claim.origin() + (offset == null ? "" : " with zone"), seconds));
      }
    }
    return stamps;
  }
}
