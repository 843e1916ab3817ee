package hardpan.lanes;

import hardpan.lineup.ClockBend;
import hardpan.lineup.Placement;
import hardpan.media.SourceFacts;
import hardpan.media.SourceFacts.SampleForm;
import hardpan.verdict.PairVerdict;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Objects;
import java.util.Set;
import org.jspecify.annotations.Nullable;

/** What has happened to the sound of a file, in words and as coding history. */
final class LaneStory {
  /** Of more files only the first and the last are named. */
  private static final int MOST_NAMES = 4;

  /** Of more sources each form of sound has one line, so that the history stays short. */
  private static final int MOST_SOURCES = 4;

  private final PlannedFile file;
  private final String madeBy;

  LaneStory(PlannedFile file, String madeBy) {
    this.file = file;
    this.madeBy = madeBy;
  }

  /** A sentence or two for people. */
  String note() {
    List<LaneSource> sources = file.sources();
    StringBuilder note = new StringBuilder();
    if (sources.size() == 1) {
      note.append(note(sources.get(0)));
    } else {
      note.append("from ").append(sources.size()).append(" sources of ");
      note.append(sources.get(0).device()).append(": ").append(names(paths(sources)));
      note.append("; silence between them");
      long corrected =
          sources.stream()
              .filter(source -> file.lanes().stream().anyMatch(l -> l.isOf(source) && l.resample()))
              .count();
      if (corrected > 0) {
        note.append("; clock corrected in ").append(corrected).append(" of them");
      }
    }
    if (file.frameCount() != null && sources.size() == 1) {
      note.append("; silence before and after");
    }
    return note.toString();
  }

  private String note(LaneSource source) {
    List<Lane> lanes = lanesOf(source);
    Lane lane = lanes.get(0);
    StringBuilder note = new StringBuilder("from ").append(source.path());
    if (source.files().size() > 1) {
      note.append(" (").append(source.files().size()).append(" files joined: ");
      note.append(names(fileNames(source))).append(')');
    }
    if (lanes.size() > 1) {
      note.append(" (channels ").append(channels(lanes)).append(')');
    } else if (lane.isDifference()) {
      note.append(" (half the difference of both channels)");
    } else if (source.facts().channelCount() > 1) {
      note.append(" (channel ").append(lane.channels().get(0) + 1).append(')');
    }
    Placement placement = source.placement();
    if (lane.resample()) {
      note.append(String.format(Locale.ROOT, "; clock corrected by %+.3f ppm", source.driftPpm()));
      note.append(bend(source, " and along a bend of up to %.2f ms"));
    } else if (placement != null && placement.driftPpm() != null) {
      note.append(String.format(Locale.ROOT, "; clock %+.3f ppm", placement.driftPpm()));
      note.append(bend(source, " and a bend of up to %.2f ms")).append(", not corrected");
    }
    if (placement != null && !source.isPlaced()) {
      note.append("; not lined up: ").append(placement.why());
    }
    return note.toString();
  }

  private static String bend(LaneSource source, String words) {
    ClockBend bend = source.bend();
    return bend == null ? "" : String.format(Locale.ROOT, words, bend.largestMs());
  }

  private List<Lane> lanesOf(LaneSource source) {
    return file.lanes().stream().filter(lane -> lane.isOf(source)).toList();
  }

  private static List<String> paths(List<LaneSource> sources) {
    return sources.stream().map(LaneSource::path).toList();
  }

  private static List<String> fileNames(LaneSource source) {
    return source.files().stream().map(path -> path.substring(path.lastIndexOf('/') + 1)).toList();
  }

  /** All of them; of many the first and the last. */
  private static String names(List<String> names) {
    return names.size() > MOST_NAMES
        ? names.get(0) + " ... " + names.get(names.size() - 1)
        : String.join("; ", names);
  }

  private static String channels(List<Lane> lanes) {
    Set<String> numbers = new LinkedHashSet<>();
    for (Lane lane : lanes) {
      for (int channel : lane.channels()) {
        numbers.add(Integer.toString(channel + 1));
      }
    }
    return String.join(" ", numbers);
  }

  /**
   * One line for each step, after EBU R 98: the sources, the channels taken out of them, the
   * correction of clocks if there was one, and what was put together. The recommendation knows no
   * word for AAC, AC-3 and floats; the text says them.
   */
  String codingHistory() {
    List<LaneSource> sources = file.sources();
    Set<String> lines = new LinkedHashSet<>();
    if (sources.size() <= MOST_SOURCES) {
      for (LaneSource source : sources) {
        lines.add(origin(source, names(List.of(source.path())) + joined(source)));
      }
    } else {
      Map<String, List<LaneSource>> forms = new LinkedHashMap<>();
      for (LaneSource source : sources) {
        forms.computeIfAbsent(origin(source, ""), form -> new ArrayList<>()).add(source);
      }
      for (List<LaneSource> same : forms.values()) {
        lines.add(origin(same.get(0), same.size() + " sources: " + names(paths(same))));
      }
    }
    boolean steps = file.isComposed();
    for (Lane lane : file.lanes()) {
      String form = steps ? "" : form();
      int rateHz = lane.source().facts().rateHz();
      if (lane.resample()) {
        lines.add(line(rateHz, word(), "mono", madeBy + "; " + split(lane)));
        lines.add(
            line(
                lane.format().rateHz(),
                word(),
                "mono",
                madeBy + "; resampled " + correction(lane, sources.size()) + form));
      } else {
        lines.add(line(rateHz, word(), "mono", madeBy + "; " + split(lane) + form));
      }
    }
    if (steps) {
      lines.add(line(file.format().rateHz(), word(), mode(file.channelCount()), madeBy + put()));
    }
    return String.join("\r\n", lines) + "\r\n";
  }

  private static String correction(Lane lane, int sources) {
    return sources > MOST_SOURCES
        ? "to the reference's clock"
        : String.format(Locale.ROOT, "%+.3f ppm", lane.source().driftPpm())
            + (lane.followsBend() ? " along a bent clock" : "");
  }

  /** What it was put together from. */
  private String put() {
    StringBuilder put = new StringBuilder();
    if (file.channelCount() > 1) {
      put.append("; ").append(file.channelCount()).append(" lanes side by side");
    }
    if (file.sources().size() > 1) {
      put.append("; ").append(file.sources().size()).append(" sources in their places");
    }
    if (file.frameCount() != null) {
      put.append("; silence where nothing was recorded");
    }
    return put.append(form()).toString();
  }

  private static String mode(int channels) {
    return switch (channels) {
      case 1 -> "mono";
      case 2 -> "dual-mono";
      default -> channels + "chn";
    };
  }

  private static String origin(LaneSource source, String names) {
    SourceFacts facts = source.facts();
    String mode =
        facts.channelCount() == 2 && isOnePicture(source) ? "stereo" : mode(facts.channelCount());
    String decoded = facts.sampleForm() == SampleForm.LOSSY ? "decoded from " : "";
    return line(
        facts.rateHz(),
        facts.bitsPerSample(),
        mode,
        decoded + facts.codec() + " in " + facts.container() + "; " + names);
  }

  private static String joined(LaneSource source) {
    return source.files().size() > 1 ? "; joined from " + names(fileNames(source)) : "";
  }

  /** A float has 24 bits of precision. */
  private int word() {
    return file.format().isFloat() ? 24 : file.format().bits();
  }

  private String form() {
    return file.format().isFloat() ? "; 32 bit float" : "";
  }

  private static String line(int rateHz, @Nullable Integer bits, String mode, String text) {
    String word = bits == null ? "" : "W=" + bits + ",";
    return "A=PCM,F=" + rateHz + "," + word + "M=" + mode + ",T=" + free(text);
  }

  /** Whether two channels may be one stereo picture; only a clip's pair is looked into. */
  private static boolean isOnePicture(LaneSource source) {
    PairVerdict pair = source.verdicts().pair();
    return pair == null || pair.relation() == PairVerdict.Relation.STEREO;
  }

  private static String split(Lane lane) {
    int first = lane.channels().get(0) + 1;
    if (lane.isDifference()) {
      return "half difference of channels " + first + " and " + (lane.channels().get(1) + 1);
    }
    Placement placement = lane.source().placement();
    boolean inverted =
        placement != null
            && placement.inverted()
            && Objects.equals(placement.channel(), lane.channels().get(0));
    return "channel " + first + (inverted ? "; polarity against the reference left as it is" : "");
  }

  private static String free(String text) {
    return text.replace(',', ';').replace('\r', ' ').replace('\n', ' ');
  }
}
