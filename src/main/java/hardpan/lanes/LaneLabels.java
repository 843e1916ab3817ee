package hardpan.lanes;

import hardpan.lineup.Placement;
import hardpan.media.SourceFacts;
import hardpan.media.SourceFacts.SampleForm;
import hardpan.signal.Timecode;
import hardpan.verdict.PairVerdict;
import hardpan.wave.BroadcastExtension;
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
import java.util.Objects;
import java.util.UUID;
import org.jspecify.annotations.Nullable;

/**
 * What a lane's file says of itself: {@code bext} version 2 (EBU Tech 3285), iXML 3.01, {@code LIST
 * INFO}, and a region for every finding. The loudness fields follow when the sound is written.
 *
 * <p>Identifiers are derived from the shoot's name, the time of the hand-over and the lane's file
 * name; that of a set of lanes from the source they share.
 *
 * @param shootName name of the shoot
 * @param madeBy program and version
 * @param madeAt time of the hand-over
 * @param lanes all lanes of the hand-over; those of one source become a set
 * @param pictures how the picture of a source is counted, by the source's path; where it is not
 *     known the lanes name no timecode rate
 */
public record LaneLabels(
    String shootName,
    String madeBy,
    OffsetDateTime madeAt,
    List<Lane> lanes,
    Map<String, Timecode> pictures) {
  private static final DateTimeFormatter DATE =
      DateTimeFormatter.ofPattern("yyyy-MM-dd", Locale.ROOT);
  private static final DateTimeFormatter TIME =
      DateTimeFormatter.ofPattern("HH-mm-ss", Locale.ROOT);
  private static final int MOST_NAMES = 4;

  /** Copies the collections. */
  public LaneLabels {
    lanes = List.copyOf(lanes);
    pictures = Map.copyOf(pictures);
  }

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
    if (start != null) {
      info.put("ICRD", DATE.format(start));
    }
    info.put("ISFT", madeBy);
    String tape = start == null ? "" : DATE.format(start);
    return new WaveMetadata(
        bext, ixml(lane, tape, uid, timeReference).toXml(), info, LaneMarkers.of(lane).kept());
  }

  private static @Nullable LocalDateTime startOf(LaneSource source, LaneClock clock) {
    Double offset = source.offsetSeconds();
    if (offset != null) {
      // A place is never exact; a nanosecond early must not become a second.
      int rateHz = source.facts().rateHz();
      return clock.dateTime(Math.rint(offset * rateHz) / rateHz);
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

  /**
   * One line for each step, after EBU R 98: the source, the channel taken out of it, and the
   * correction of its clock if there was one. The recommendation knows no word for AAC, AC-3 and
   * floats; the text says them.
   */
  private String codingHistory(Lane lane) {
    SourceFacts facts = lane.source().facts();
    String mode =
        switch (facts.channelCount()) {
          case 1 -> "mono";
          case 2 -> isOnePicture(lane.source()) ? "stereo" : "dual-mono";
          default -> facts.channelCount() + "chn";
        };
    String decoded = facts.sampleForm() == SampleForm.LOSSY ? "decoded from " : "";
    String names =
        lane.source().path()
            + (lane.source().files().size() > 1 ? "; joined from " + fileNames(lane.source()) : "");
    List<String> lines = new ArrayList<>();
    lines.add(
        line(
            facts.rateHz(),
            facts.bitsPerSample(),
            mode,
            decoded + facts.codec() + " in " + facts.container() + "; " + names));
    // A float has 24 bits of precision.
    int word = lane.format().isFloat() ? 24 : lane.format().bits();
    String form = lane.format().isFloat() ? "; 32 bit float" : "";
    if (lane.resample()) {
      lines.add(line(facts.rateHz(), word, "mono", madeBy + "; " + split(lane)));
      lines.add(
          line(
              lane.format().rateHz(),
              word,
              "mono",
              String.format(
                  Locale.ROOT,
                  "%s; resampled %+.3f ppm%s",
                  madeBy,
                  lane.source().driftPpm(),
                  form)));
    } else {
      lines.add(line(facts.rateHz(), word, "mono", madeBy + "; " + split(lane) + form));
    }
    return String.join("\r\n", lines) + "\r\n";
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

  private IxmlDocument ixml(Lane lane, String tape, UUID uid, @Nullable Long timeReference) {
    LaneSource source = lane.source();
    Lane.Format format = lane.format();
    Timecode picture = pictures.get(source.files().get(0));
    IxmlDocument.Speed speed =
        new IxmlDocument.Speed(
            picture == null ? "" : picture.rate().toString(),
            picture != null && picture.dropFrame(),
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
        tape,
        note(lane),
        plain(uid),
        speed,
        new IxmlDocument.History(lane.fileName(), parent, ""),
        set(lane),
        List.of(new IxmlDocument.Track(channel, 1, lane.name(), "")));
  }

  /** The lanes of one source belong together. */
  private IxmlDocument.@Nullable FileSet set(Lane lane) {
    String path = lane.source().path();
    List<String> files =
        lanes.stream()
            .filter(other -> other.source().path().equals(path))
            .map(Lane::fileName)
            .toList();
    int index = files.indexOf(lane.fileName());
    return index < 0
        ? null
        : new IxmlDocument.FileSet(
            files.size(),
            plain(uid("set of " + path)),
            lane.source().device() + " " + lane.source().runNumber(),
            Integer.toString(index + 1));
  }

  private static String plain(UUID uid) {
    return uid.toString().replace("-", "");
  }

  private UUID uid(String name) {
    String text = shootName + "|" + madeAt + "|" + name;
    return UUID.nameUUIDFromBytes(text.getBytes(StandardCharsets.UTF_8));
  }
}
