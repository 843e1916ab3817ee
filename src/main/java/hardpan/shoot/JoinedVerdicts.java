package hardpan.shoot;

import hardpan.base.Span;
import hardpan.signal.Decibels;
import hardpan.verdict.ChannelVerdict;
import hardpan.verdict.Clipping;
import hardpan.verdict.Finding;
import hardpan.verdict.Overload;
import hardpan.verdict.PairVerdict;
import hardpan.verdict.Verdicts;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Objects;
import org.jspecify.annotations.Nullable;

/**
 * The verdicts of a run's parts as verdicts on the run: what lanes are planned by. Each part keeps
 * its own in the report.
 */
final class JoinedVerdicts {
  private JoinedVerdicts() {}

  /**
   * Verdicts of one part.
   *
   * @param verdicts on all channels of the run
   * @param startFrame the part's first frame in the run
   * @param frameCount its length
   */
  record Part(Verdicts verdicts, long startFrame, long frameCount) {}

  /** Puts parts one after the other. */
  static Verdicts of(List<Part> parts) {
    if (parts.size() == 1) {
      return parts.get(0).verdicts();
    }
    int channelCount = parts.get(0).verdicts().channels().size();
    List<ChannelVerdict> channels = new ArrayList<>();
    for (int channel = 0; channel < channelCount; channel++) {
      channels.add(channel(parts, channel));
    }
    return new Verdicts(channels, pair(parts));
  }

  /** Verdicts of files side by side: all channels, and no word on how they relate. */
  static Verdicts sideBySide(List<Verdicts> files) {
    if (files.size() == 1) {
      return files.get(0);
    }
    return new Verdicts(files.stream().flatMap(file -> file.channels().stream()).toList(), null);
  }

  private static ChannelVerdict channel(List<Part> parts, int channel) {
    List<ChannelVerdict> all =
        parts.stream().map(part -> part.verdicts().channels().get(channel)).toList();
    List<Finding> findings = new ArrayList<>();
    List<Span> spans = new ArrayList<>();
    double clippedSeconds = 0;
    double power = 0;
    double offset = 0;
    double share = 0;
    double atCeiling = 0;
    long frames = 0;
    for (int i = 0; i < all.size(); i++) {
      Part part = parts.get(i);
      ChannelVerdict one = all.get(i);
      Double rms = one.rmsDbfs();
      power += rms == null ? 0 : part.frameCount() * Math.pow(Decibels.toAmplitude(rms), 2);
      offset += one.dcOffset() * part.frameCount();
      share += one.clipping().shareOfActive() * part.frameCount();
      atCeiling += one.clipping().samplesAtCeiling() * part.frameCount();
      frames += part.frameCount();
      clippedSeconds += one.clipping().clippedSeconds();
      spans.addAll(later(one.clipping().spans(), part.startFrame()));
      for (Finding finding : one.findings()) {
        findings.add(later(finding, part));
      }
    }
    Clipping clipping =
        new Clipping(
            all.stream().anyMatch(one -> one.clipping().clipped()),
            largest(all.stream().map(one -> one.clipping().ceilingDbfs()).toList()),
            largest(all.stream().map(one -> one.clipping().positiveDbfs()).toList()),
            largest(all.stream().map(one -> one.clipping().negativeDbfs()).toList()),
            all.stream()
                .map(one -> one.clipping().shape())
                .max(Comparator.naturalOrder())
                .orElse(Clipping.Shape.NONE),
            clippedSeconds,
            spans,
            share / frames,
            atCeiling / frames,
            confidence(all));
    Double rms = power > 0 ? Decibels.ofAmplitude(Math.sqrt(power / frames)) : null;
    return new ChannelVerdict(
        largest(all.stream().map(ChannelVerdict::peakDbfs).toList()),
        rms,
        smallest(all.stream().map(ChannelVerdict::noiseFloorDbfs).toList()),
        largest(all.stream().map(ChannelVerdict::activeDbfs).toList()),
        offset / frames,
        all.stream().allMatch(ChannelVerdict::silent),
        clipping,
        overload(all),
        findings);
  }

  /** Of those that say what the whole says, the surest if cut, the least sure if not. */
  private static double confidence(List<ChannelVerdict> all) {
    boolean clipped = all.stream().anyMatch(one -> one.clipping().clipped());
    var told =
        all.stream()
            .map(ChannelVerdict::clipping)
            .filter(clipping -> clipping.clipped() == clipped)
            .mapToDouble(Clipping::confidence);
    return clipped ? told.max().orElse(0) : told.min().orElse(0);
  }

  /** The worst of them. */
  private static Overload overload(List<ChannelVerdict> all) {
    Overload worst = all.get(0).overload();
    for (ChannelVerdict one : all) {
      if (one.overload().verdict().compareTo(worst.verdict()) > 0) {
        worst = one.overload();
      }
    }
    return worst;
  }

  /** What holds for a whole part holds for its stretch of the run. */
  private static Finding later(Finding finding, Part part) {
    List<Span> spans =
        finding.spans().isEmpty()
            ? List.of(new Span(part.startFrame(), part.startFrame() + part.frameCount()))
            : later(finding.spans(), part.startFrame());
    return new Finding(
        finding.code(),
        finding.severity(),
        spans,
        finding.evidence(),
        finding.says(),
        finding.remedy());
  }

  private static List<Span> later(List<Span> spans, long startFrame) {
    return spans.stream()
        .map(span -> new Span(span.startFrame() + startFrame, span.endFrame() + startFrame))
        .toList();
  }

  private static @Nullable Double largest(List<@Nullable Double> values) {
    return values.stream().filter(Objects::nonNull).max(Double::compare).orElse(null);
  }

  private static @Nullable Double smallest(List<@Nullable Double> values) {
    return values.stream().filter(Objects::nonNull).min(Double::compare).orElse(null);
  }

  /**
   * How left and right relate, if all parts that can tell say the same; else nothing, and both
   * sides are kept.
   */
  private static @Nullable PairVerdict pair(List<Part> parts) {
    PairVerdict longest = null;
    long longestFrames = 0;
    for (Part part : parts) {
      PairVerdict pair = part.verdicts().pair();
      if (pair == null) {
        return null;
      }
      boolean tells =
          pair.relation() != PairVerdict.Relation.UNKNOWN
              && pair.relation() != PairVerdict.Relation.BOTH_SILENT;
      if (!tells) {
        continue;
      }
      if (longest != null && differs(longest, pair)) {
        return null;
      }
      if (part.frameCount() > longestFrames) {
        longest = pair;
        longestFrames = part.frameCount();
      }
    }
    return longest == null ? parts.get(0).verdicts().pair() : longest;
  }

  /** Another word, or the same word for the other side. */
  private static boolean differs(PairVerdict one, PairVerdict other) {
    Double first = one.gainDifferenceDb();
    Double second = other.gainDifferenceDb();
    boolean sided =
        one.relation() == PairVerdict.Relation.ONE_SILENT
            || one.relation() == PairVerdict.Relation.LOWER_COPY;
    boolean otherSide = first != null && second != null && (first < 0) != (second < 0);
    return one.relation() != other.relation() || (sided && otherSide);
  }
}
