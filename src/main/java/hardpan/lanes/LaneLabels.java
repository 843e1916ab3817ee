package hardpan.lanes;

import hardpan.signal.Timecode;
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
import java.util.UUID;
import org.jspecify.annotations.Nullable;

/**
 * What a lane's file says of itself: {@code bext} version 2 (EBU Tech 3285), iXML 3.01, {@code LIST
 * INFO}, and a region for every finding. The loudness fields follow when the sound is written.
 *
 * <p>Identifiers are derived from the shoot's name, the time of the hand-over and the file's name;
 * that of a set of files from the source or device they share.
 *
 * @param shootName name of the shoot
 * @param madeBy program and version
 * @param madeAt time of the hand-over
 * @param files all files of the hand-over; those of one source, or of one device, become a set
 * @param pictures how the picture of a source is counted, by the source's path; where it is not
 *     known the lanes name no timecode rate
 */
public record LaneLabels(
    String shootName,
    String madeBy,
    OffsetDateTime madeAt,
    List<PlannedFile> files,
    Map<String, Timecode> pictures) {
  private static final DateTimeFormatter DATE =
      DateTimeFormatter.ofPattern("yyyy-MM-dd", Locale.ROOT);
  private static final DateTimeFormatter TIME =
      DateTimeFormatter.ofPattern("HH-mm-ss", Locale.ROOT);

  /** Copies the collections. */
  public LaneLabels {
    files = List.copyOf(files);
    pictures = Map.copyOf(pictures);
  }

  /** All chunks beside the sound. */
  WaveMetadata metadata(PlannedFile file, LaneClock clock, @Nullable Long timeReference) {
    LaneSource source = file.lanes().get(0).source();
    UUID uid = uid(file.name());
    long stamp = timeReference == null ? 0 : timeReference;
    LocalDateTime start = startOf(file, clock);
    LocalTime time = start == null ? LocalTime.MIDNIGHT : start.toLocalTime();
    LaneStory story = new LaneStory(file, madeBy);
    BroadcastExtension bext =
        BroadcastExtension.of(
            description(file, story, timeReference),
            "Hardpan",
            UsidReference.of("XX", "HPN", source.device(), time, uid.getMostSignificantBits())
                .text(),
            start == null ? "" : DATE.format(start),
            start == null ? "" : TIME.format(start),
            stamp,
            Umid.basic(uid),
            story.codingHistory());
    Map<String, String> info = new LinkedHashMap<>();
    info.put("INAM", names(file));
    info.put("IPRD", shootName);
    info.put("ICMT", story.note());
    if (start != null) {
      info.put("ICRD", DATE.format(start));
    }
    info.put("ISFT", madeBy);
    String tape = start == null ? "" : DATE.format(start);
    return new WaveMetadata(
        bext,
        ixml(file, story, tape, uid, timeReference).toXml(),
        info,
        LaneMarkers.of(file).kept(),
        file.sources().size() == 1 && source.files().size() == 1
            ? source.parent().chunks()
            : List.of());
  }

  /** When the file's first sample was recorded, or would have been. */
  private static @Nullable LocalDateTime startOf(PlannedFile file, LaneClock clock) {
    Long startFrame = file.startFrameOnReference();
    return file.frameCount() == null || startFrame == null
        ? clock.startOf(file.lanes().get(0).source())
        : clock.dateTime((double) startFrame / file.format().rateHz());
  }

  /** The names of its channels. */
  private static String names(PlannedFile file) {
    List<String> names = new ArrayList<>();
    for (int channel = 0; channel < file.channelCount(); channel++) {
      names.add(file.first(channel).name());
    }
    return String.join(" + ", names);
  }

  private String description(PlannedFile file, LaneStory story, @Nullable Long timeReference) {
    LaneSource source = file.lanes().get(0).source();
    boolean refused = source.placement() != null && timeReference == null;
    String place = refused ? " NOT LINED UP" : "";
    return source.device() + " " + names(file) + place + " | " + shootName + " | " + story.note();
  }

  private IxmlDocument ixml(
      PlannedFile file, LaneStory story, String tape, UUID uid, @Nullable Long timeReference) {
    LaneSource source = file.lanes().get(0).source();
    Lane.Format format = file.format();
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
    List<IxmlDocument.Track> tracks = new ArrayList<>();
    for (int channel = 0; channel < file.channelCount(); channel++) {
      Lane lane = file.first(channel);
      tracks.add(new IxmlDocument.Track(lane.channels().get(0) + 1, channel + 1, lane.name(), ""));
    }
    return new IxmlDocument(
        shootName,
        source.device(),
        Integer.toString(source.runNumber()),
        tape,
        story.note(),
        plain(uid),
        speed,
        new IxmlDocument.History(file.name(), parent, source.parent().uid()),
        set(file),
        tracks);
  }

  /** The files of one source belong together, and those of one device that have several. */
  private IxmlDocument.@Nullable FileSet set(PlannedFile file) {
    String key = setOf(file);
    List<PlannedFile> members = files.stream().filter(other -> setOf(other).equals(key)).toList();
    int index = members.stream().map(PlannedFile::name).toList().indexOf(file.name());
    if (index < 0) {
      return null;
    }
    LaneSource source = file.lanes().get(0).source();
    String run = file.sources().size() == 1 ? " " + source.runNumber() : "";
    return new IxmlDocument.FileSet(
        members.size(),
        plain(uid("set of " + key)),
        source.device() + run,
        file.channelCount() == 1 ? Integer.toString(index + 1) : letters(index));
  }

  private static String setOf(PlannedFile file) {
    LaneSource source = file.lanes().get(0).source();
    return file.sources().size() == 1 ? source.path() : "device " + source.device();
  }

  /** A, B ... Z, AA, AB ...: files of several channels count in letters (iXML 3.01, FILE_SET). */
  private static String letters(int index) {
    String last = Character.toString('A' + index % 26);
    return index < 26 ? last : letters(index / 26 - 1) + last;
  }

  private static String plain(UUID uid) {
    return uid.toString().replace("-", "");
  }

  private UUID uid(String name) {
    String text = shootName + "|" + madeAt + "|" + name;
    return UUID.nameUUIDFromBytes(text.getBytes(StandardCharsets.UTF_8));
  }
}
