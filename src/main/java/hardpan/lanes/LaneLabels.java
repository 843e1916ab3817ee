package hardpan.lanes;

import hardpan.lineup.Placement;
import hardpan.media.SourceFacts;
import hardpan.media.SourceFacts.SampleForm;
import hardpan.verdict.ChannelVerdict;
import hardpan.verdict.Finding;
import hardpan.verdict.PairVerdict;
import hardpan.wave.BroadcastExtension;
import hardpan.wave.CuePoint;
import hardpan.wave.IxmlDocument;
import hardpan.wave.Umid;
import hardpan.wave.UsidReference;
import hardpan.wave.WaveMetadata;
import java.nio.charset.StandardCharsets;
import java.time.LocalDateTime;
import java.time.LocalTime;
import java.time.OffsetDateTime;
import java.time.format.DateTimeFormatter;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.UUID;
import org.jspecify.annotations.Nullable;

/**
 * What a lane's file says of itself: {@code bext} version 2 (EBU Tech 3285), iXML 3.01, {@code LIST
 * INFO}, and a region for every finding.
 *
 * <p>Identifiers are derived from the shoot's name, the time of the hand-over and the lane's file
 * name.
 *
 * @param shootName name of the shoot
 * @param madeBy program and version
 * @param madeAt time of the hand-over
 */
public record LaneLabels(String shootName, String madeBy, OffsetDateTime madeAt) {
  private static final DateTimeFormatter DATE =
      DateTimeFormatter.ofPattern("yyyy-MM-dd", Locale.ROOT);
  private static final DateTimeFormatter TIME =
      DateTimeFormatter.ofPattern("HH-mm-ss", Locale.ROOT);
  private static final int MOST_REGIONS = 1000;
  private static final int MOST_NAMES = 4;

  /** All chunks beside the sound. */
  WaveMetadata metadata(Lane lane, LaneClock clock, @Nullable Long timeReference) {
    LaneSource source = lane.source();
    UUID uid = uid(lane.fileName());
    long stamp = timeReference == null ? 0 : timeReference;
    LocalDateTime start = startOf(source, clock);
    LocalTime time = start == null ? LocalTime.MIDNIGHT : start.toLocalTime();
    BroadcastExtension bext =
        BroadcastExtension.of(
            description(lane, timeReference),
            "Hardpan",
            UsidReference.of("XX", "HPN", source.device(), time, uid.getMostSignificantBits())
                .text(),
            start == null ? "" : DATE.format(start),
            start == null ? "" : TIME.format(start),
            stamp,
            Umid.basic(uid),
            codingHistory(lane));
    Map<String, String> info = new LinkedHashMap<>();
    info.put("INAM", lane.name());
    info.put("IPRD", shootName);
    info.put("ICMT", note(lane));
    info.put("ISFT", madeBy);
    return new WaveMetadata(bext, ixml(lane, uid, timeReference).toXml(), info, regions(lane));
  }

  private static @Nullable LocalDateTime startOf(LaneSource source, LaneClock clock) {
    Double offset = source.offsetSeconds();
    if (offset != null) {
      return clock.dateTime(offset);
    }
    return source.facts().startedAt();
  }

  private String description(Lane lane, @Nullable Long timeReference) {
    boolean refused = lane.source().placement() != null && timeReference == null;
    String place = refused ? " NOT LINED UP" : "";
    return lane.source().device()
        + " "
        + lane.name()
        + place
        + " | "
        + shootName
        + " | "
        + note(lane);
  }

  private static String note(Lane lane) {
    LaneSource source = lane.source();
    StringBuilder note = new StringBuilder("from ").append(source.path());
    if (source.files().size() > 1) {
      note.append(" (").append(source.files().size()).append(" files joined: ");
      note.append(fileNames(source)).append(')');
    }
    if (lane.isDifference()) {
      note.append(" (half the difference of both channels)");
    } else if (source.facts().channelCount() > 1) {
      note.append(" (channel ").append(lane.channels().get(0) + 1).append(')');
    }
    Placement placement = source.placement();
    if (lane.resample()) {
      note.append(String.format(Locale.ROOT, "; clock corrected by %+.3f ppm", source.driftPpm()));
    } else if (placement != null && placement.driftPpm() != null) {
      note.append(
          String.format(Locale.ROOT, "; clock %+.3f ppm, not corrected", placement.driftPpm()));
    }
    if (source.placement() != null && !source.isPlaced()) {
      note.append("; not lined up: ").append(source.placement().why());
    }
    return note.toString();
  }

  /** The names of the files it is made of; of many the first and the last. */
  private static String fileNames(LaneSource source) {
    List<String> names =
        source.files().stream().map(path -> path.substring(path.lastIndexOf('/') + 1)).toList();
    return names.size() > MOST_NAMES
        ? names.get(0) + " ... " + names.get(names.size() - 1)
        : String.join("; ", names);
  }

  /** One line for the source and one for the lane, after EBU R 98. */
  private String codingHistory(Lane lane) {
    SourceFacts facts = lane.source().facts();
    String mode =
        switch (facts.channelCount()) {
          case 1 -> "mono";
          case 2 -> isOnePicture(lane.source()) ? "stereo" : "dual-mono";
          default -> facts.channelCount() + "chn";
        };
    Integer bits = facts.bitsPerSample();
    String word = bits == null ? "" : "W=" + bits + ",";
    String first =
        "A=PCM,F="
            + facts.rateHz()
            + ","
            + word
            + "M="
            + mode
            + ",T="
            + free(
                (facts.sampleForm() == SampleForm.LOSSY ? "decoded from " : "")
                    + facts.codec()
                    + " in "
                    + facts.container()
                    + "; "
                    + lane.source().path()
                    + (lane.source().files().size() > 1
                        ? "; joined from " + fileNames(lane.source())
                        : ""));
    // A float has 24 bits of precision.
    int laneWord = lane.format().isFloat() ? 24 : lane.format().bits();
    String second =
        "A=PCM,F="
            + lane.format().rateHz()
            + ",W="
            + laneWord
            + ",M=mono,T="
            + free(madeBy + "; " + steps(lane));
    return first + "\r\n" + second + "\r\n";
  }

  /** Whether two channels may be one stereo picture; only a clip's pair is looked into. */
  private static boolean isOnePicture(LaneSource source) {
    PairVerdict pair = source.verdicts().pair();
    return pair == null || pair.relation() == PairVerdict.Relation.STEREO;
  }

  private static String steps(Lane lane) {
    List<String> steps = new ArrayList<>();
    if (lane.isDifference()) {
      steps.add(
          "half difference of channels "
              + (lane.channels().get(0) + 1)
              + " and "
              + (lane.channels().get(1) + 1));
    } else {
      steps.add("channel " + (lane.channels().get(0) + 1));
    }
    if (lane.resample()) {
      steps.add(String.format(Locale.ROOT, "resampled %+.3f ppm", lane.source().driftPpm()));
    }
    if (lane.format().isFloat()) {
      steps.add("32 bit float");
    }
    return String.join("; ", steps);
  }

  private static String free(String text) {
    return text.replace(',', ';').replace('\r', ' ').replace('\n', ' ');
  }

  private IxmlDocument ixml(Lane lane, UUID uid, @Nullable Long timeReference) {
    LaneSource source = lane.source();
    Lane.Format format = lane.format();
    IxmlDocument.Speed speed =
        new IxmlDocument.Speed(
            "",
            false,
            format.rateHz(),
            format.bits(),
            null,
            timeReference,
            timeReference == null ? null : format.rateHz());
    String first = source.files().get(0);
    String parent = first.substring(first.lastIndexOf('/') + 1);
    int channel = lane.channels().get(0) + 1;
    return new IxmlDocument(
        shootName,
        source.device(),
        Integer.toString(source.runNumber()),
        "",
        note(lane),
        uid.toString().replace("-", ""),
        speed,
        new IxmlDocument.History(lane.fileName(), parent, ""),
        null,
        List.of(new IxmlDocument.Track(channel, 1, lane.name(), "")));
  }

  /** Regions only where the lane's frames are the source's own. */
  private static List<CuePoint> regions(Lane lane) {
    List<CuePoint> regions = new ArrayList<>();
    if (lane.resample()) {
      return regions;
    }
    for (int channel : lane.channels()) {
      ChannelVerdict verdict = lane.source().verdicts().channels().get(channel);
      for (Finding finding : verdict.findings()) {
        for (var span : finding.spans()) {
          if (regions.size() < MOST_REGIONS) {
            regions.add(
                new CuePoint(
                    regions.size() + 1L, span.startFrame(), span.frames(), finding.code(), ""));
          }
        }
      }
    }
    return regions;
  }

  private UUID uid(String name) {
    String text = shootName + "|" + madeAt + "|" + name;
    return UUID.nameUUIDFromBytes(text.getBytes(StandardCharsets.UTF_8));
  }
}
