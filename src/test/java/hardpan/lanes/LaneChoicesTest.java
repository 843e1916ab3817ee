package hardpan.lanes;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import hardpan.lanes.LaneChoices.Channel;
import hardpan.lanes.LaneChoices.Pair;
import hardpan.lanes.LaneOffer.State;
import hardpan.lanes.LaneOffer.Twin;
import hardpan.media.SourceFacts;
import hardpan.verdict.ChannelVerdict;
import hardpan.verdict.PairVerdict;
import hardpan.verdict.PairVerdict.Relation;
import hardpan.verdict.Verdicts;
import hardpan.wave.WaveFormat;
import hardpan.wave.WaveMetadata;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.NullUnmarked;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

@NullUnmarked
class LaneChoicesTest {
  private static List<LaneOffer> offers(LaneSource source, LaneChoices choices) {
    return LanePlanner.offers(List.of(source), choices);
  }

  /** {@code CAM-A/x.mov} of device {@code CAM-A}. */
  private static LaneSource pair(Relation relation, boolean... silent) {
    List<ChannelVerdict> channels = new ArrayList<>();
    for (int i = 0; i < 2; i++) {
      channels.add(LaneSamples.channel(silent.length > i && silent[i]));
    }
    PairVerdict verdict = new PairVerdict(relation, 0.9, 0.0, 0.0, null, null);
    return LaneSamples.named(
        "CAM-A",
        LaneSamples.facts(SourceFacts.Kind.CLIP, 48_000, "", ""),
        new Verdicts(channels, verdict),
        null);
  }

  @Test
  void theLastWordCountsAndLeavesTheRest() {
    LaneChoices choices =
        LaneChoices.NONE
            .with(Channel.named("CAM-A", 0, "Anna"))
            .with(Channel.role("CAM-A", 0, "lectern"))
            .with(Channel.named("CAM-A", 1, "Bo"))
            .with(Channel.named("CAM-A", 0, "Ane"));
    assertThat(choices.channels())
        .containsExactly(
            Channel.named("CAM-A", 1, "Bo"), new Channel("CAM-A", 0, "Ane", "lectern", null));
    LaneChoices more = LaneChoices.NONE.with(Channel.named("x.mov", 0, "Eli"));
    List<LaneOffer> offers = offers(pair(Relation.ISOLATED), more.over(choices));
    assertThat(offers).extracting(LaneOffer::name).containsExactly("Eli", "Bo");
    assertThat(offers).extracting(LaneOffer::role).containsExactly("lectern", "microphone");
    assertThat(offers).extracting(LaneOffer::roleGuessed).containsExactly(false, true);
  }

  @Test
  void aSourceGoesByItsPathTheEndOfItOrItsDevice() {
    for (String name : List.of("CAM-A/x.mov", "x.mov", "CAM-A")) {
      assertThat(
              offers(pair(Relation.ISOLATED), LaneChoices.NONE.with(Channel.named(name, 1, "Bo"))))
          .extracting(LaneOffer::name)
          .as(name)
          .containsExactly("left", "Bo");
    }
    for (String name : List.of(".mov", "CAM", "M-A/x.mov", "x", "/x.mov")) {
      assertThat(
              offers(pair(Relation.ISOLATED), LaneChoices.NONE.with(Channel.named(name, 1, "Bo"))))
          .extracting(LaneOffer::name)
          .as(name)
          .containsExactly("left", "right");
    }
  }

  @Test
  void oneSignalTwiceIsOneLaneUnlessBothAreWanted() {
    for (Relation relation : List.of(Relation.SAME_SIGNAL, Relation.INVERTED)) {
      List<LaneOffer> merged = offers(pair(relation), LaneChoices.NONE);
      assertThat(merged).extracting(LaneOffer::pair).containsExactly(Twin.MERGED);
      List<LaneOffer> both =
          offers(pair(relation), LaneChoices.NONE.with(new Pair("CAM-A", false)));
      assertThat(both)
          .extracting(LaneOffer::pair)
          .containsExactly(Twin.KEPT_APART, Twin.KEPT_APART);
      assertThat(both.stream().map(LaneOffer::channels).toList())
          .isEqualTo(List.of(List.of(0), List.of(1)));
      LaneChoices back =
          LaneChoices.NONE.with(new Pair("CAM-A", false)).with(new Pair("CAM-A", true));
      assertThat(offers(pair(relation), back)).isEqualTo(merged);
    }
    assertThat(offers(pair(Relation.ISOLATED), LaneChoices.NONE.with(new Pair("CAM-A", true))))
        .hasSize(2);
  }

  @Test
  void silenceIsWrittenOnlyWhereItIsWanted() {
    LaneSource source = pair(Relation.UNKNOWN, false, true);
    assertThat(offers(source, LaneChoices.NONE))
        .extracting(LaneOffer::state)
        .containsExactly(State.WRITTEN, State.SILENT);
    LaneChoices other =
        LaneChoices.NONE
            .with(Channel.written("CAM-A", 0, false))
            .with(Channel.written("CAM-A", 1, true));
    List<LaneOffer> turned = offers(source, other);
    assertThat(turned).extracting(LaneOffer::state).containsExactly(State.UNWANTED, State.WANTED);
    List<PlannedFile> files =
        LanePlanner.files(turned, null, DriftCorrection.AUTO, Arrangement.USUAL, "supper");
    assertThat(files).extracting(PlannedFile::name).containsExactly("CAM-A_1_right.wav");
  }

  @Test
  void samplesAreThoseThatWereChosen() {
    for (SampleChoice choice : SampleChoice.values()) {
      Arrangement arrangement = Arrangement.USUAL.withSamples(choice);
      List<LaneOffer> offers = offers(pair(Relation.ISOLATED), LaneChoices.NONE);
      Lane.Format format =
          LanePlanner.files(offers, null, DriftCorrection.AUTO, arrangement, "supper")
              .get(0)
              .format();
      assertThat(format)
          .isEqualTo(
              switch (choice) {
                case PCM16 -> new Lane.Format(false, 16, 48_000);
                case KEPT, PCM24 -> new Lane.Format(false, 24, 48_000);
                case FLOAT32 -> new Lane.Format(true, 32, 48_000);
              });
    }
  }

  @Test
  void namesAreCleanedAndEmptyOnesRefused() {
    assertThat(Channel.named("CAM-A", 0, " Anna\tLund \n").name()).isEqualTo("Anna Lund");
    assertThatThrownBy(() -> Channel.named("CAM-A", 0, "  "))
        .isInstanceOf(IllegalArgumentException.class);
    assertThatThrownBy(() -> Channel.named("", 0, "x"))
        .isInstanceOf(IllegalArgumentException.class);
    assertThatThrownBy(() -> Channel.named("CAM-A", -1, "x"))
        .isInstanceOf(IllegalArgumentException.class);
  }

  /**
   * With triangular dither the error of rounding has a quarter of a step squared as its variance,
   * whatever the sound, and no mean: Lipshitz, Wannamaker, Vanderkooy, "Quantization and Dither: A
   * Theoretical Survey", JAES 40 (1992), section 6.
   */
  @Test
  void fewerBitsAreRoundedWithDither(@TempDir Path folder) throws Exception {
    float[] sound = LaneSamples.speech(5, 48_000, 2, 0.5, 24);
    Path wave =
        LaneSamples.wave(
            folder.resolve("a.wav"), WaveFormat.integer(24, 48_000, 1), WaveMetadata.NONE, sound);
    LaneSource source = LaneSamples.source(wave, null, true);
    Arrangement few = Arrangement.USUAL.withSamples(SampleChoice.PCM16);
    List<PlannedFile> files = LaneSamples.files(List.of(source), DriftCorrection.AUTO, few);
    Path lanes = Files.createDirectory(folder.resolve("lanes"));
    LaneSamples.write(files, lanes, LaneClock.of(null, 0));
    float[] written = LaneSamples.floats(lanes.resolve(files.get(0).name()));
    double sum = 0;
    double squares = 0;
    for (int i = 0; i < sound.length; i++) {
      double errorSteps = (written[i] - sound[i]) * 0x1p15;
      sum += errorSteps;
      squares += errorSteps * errorSteps;
    }
    assertThat(sum / sound.length).isBetween(-0.01, 0.01);
    assertThat(squares / sound.length).isBetween(0.24, 0.26);
  }
}
