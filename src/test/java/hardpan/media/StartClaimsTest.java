package hardpan.media;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNull;

import hardpan.media.StartClaim.Origin;
import hardpan.media.StartClaim.Trust;
import java.nio.file.Path;
import java.time.LocalDate;
import java.time.LocalDateTime;
import java.time.LocalTime;
import java.time.ZoneOffset;
import java.util.List;
import java.util.Optional;
import org.jspecify.annotations.NullUnmarked;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

@NullUnmarked
class StartClaimsTest {
  private static final LocalDate DAY = LocalDate.parse("2026-02-14");

  @ParameterizedTest
  @CsvSource({
    "2026-02-14T17:30:05.000000Z, 2026-02-14T17:30:05, Z",
    "2026-02-14T18:30:05+0100, 2026-02-14T18:30:05, +01:00",
    "2026-02-14T18:30:05+01:00, 2026-02-14T18:30:05, +01:00",
    "2026-02-14 18:30:05, 2026-02-14T18:30:05,",
    "2026-02-14T18:30:05, 2026-02-14T18:30:05,",
  })
  void everyWayOfWritingIsRead(String text, String local, String offset) {
    StartClaim claim = StartClaims.makerKey(text);
    assertEquals(LocalDateTime.parse(local), claim.local());
    assertEquals(offset == null ? null : ZoneOffset.of(offset), claim.offset());
    assertEquals(text, claim.raw());
    assertEquals(Trust.GOOD, claim.trust());
  }

  @ParameterizedTest
  @ValueSource(strings = {"", "2026", "2026-02-14", "yesterday", "2026-02-30T00:00:00Z"})
  void whatIsNoMomentIsNoClaim(String text) {
    assertNull(StartClaims.tag(text));
  }

  /** ISO/IEC 14496-12 counts from 1904; Unix from 1970; FAT from 1980. */
  @ParameterizedTest
  @ValueSource(
      strings = {
        "1904-01-01T00:00:00Z",
        "1970-01-01T00:00:07Z",
        "1980-01-01T00:00:00Z",
        "1989-12-31T23:59:59Z",
        "2000-01-01T00:03:00Z",
        "1999-12-31T23:03:00Z",
      })
  void aClockThatWasNeverSetSaysNothing(String text) {
    StartClaim claim = StartClaims.container(text);
    assertEquals(Trust.NONE, claim.trust());
    assertEquals(Optional.empty(), StartClaim.best(List.of(claim)));
  }

  @Test
  void samplesSinceMidnightTakeTheDayOfTheirChunk() {
    LocalTime time = LocalTime.parse("18:30:05");
    StartClaim exact = since(48_000L * 66_605 + 24_000, time);
    assertEquals(LocalDateTime.parse("2026-02-14T18:30:05.5"), exact.local());
    assertEquals(Trust.EXACT, exact.trust());
    assertNull(exact.offset());
    // A count that is not the time of day keeps no day.
    assertNull(since(48_000L * 3600, time).date());
    // Midnight between the two.
    assertEquals(DAY.plusDays(1), since(48_000L, LocalTime.parse("23:59:59")).date());
    assertEquals(DAY.minusDays(1), since(48_000L * 86_399, LocalTime.parse("00:00:01")).date());
    assertNull(since(0, time));
    assertEquals(Trust.NONE, since(48_000L * 86_400, time).trust());
  }

  private static StartClaim since(long samples, LocalTime time) {
    return StartClaims.sinceMidnight(samples, 48_000, DAY, time, Origin.TIME_REFERENCE);
  }

  @Test
  void theBestIsTheMostTrustedThenTheFirstInOrder() {
    StartClaim container = StartClaims.container("2026-02-14T17:30:05Z");
    StartClaim name = StartClaims.fileName(Path.of("VID_20260214_183004.mp4"));
    StartClaim maker = StartClaims.makerKey("2026-02-14T18:30:05+0100");
    StartClaim code = StartClaims.timecode(Timecode.parse("18:30:05:10", 25, 1));
    assertEquals(Optional.of(name), StartClaim.best(List.of(container, name)));
    assertEquals(Optional.of(maker), StartClaim.best(List.of(container, name, maker)));
    // Timecode alone has no day; beside a claim of the same time it has, and is exact.
    assertEquals(Optional.of(maker), StartClaim.best(List.of(maker, code)));
    List<StartClaim> dated = StartClaims.dated(List.of(maker, code));
    assertEquals(LocalDateTime.parse("2026-02-14T18:30:05.4"), dated.get(1).local());
    assertEquals(ZoneOffset.ofHours(1), dated.get(1).offset());
    assertEquals(Optional.of(dated.get(1)), StartClaim.best(dated));
    StartClaim low = name.trusted(Trust.LOW, "It is only a guess.");
    assertEquals(Optional.empty(), StartClaim.best(List.of(low)));
    assertEquals(Trust.LOW, StartClaims.timecode(Timecode.parse("01:00:00:00", 25, 1)).trust());
  }
}
