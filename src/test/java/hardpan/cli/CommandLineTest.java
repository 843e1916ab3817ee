package hardpan.cli;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.DeserializationFeature;
import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.networknt.schema.JsonSchemaFactory;
import com.networknt.schema.SpecVersion;
import hardpan.shoot.ShootSamples;
import hardpan.wave.BextLoudness;
import hardpan.wave.WaveFileReader;
import hardpan.wave.WaveFormat;
import hardpan.wave.WaveHeader;
import java.io.IOException;
import java.io.PrintWriter;
import java.io.StringWriter;
import java.lang.reflect.Field;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Map;
import java.util.Set;
import java.util.TreeMap;
import java.util.TreeSet;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.jspecify.annotations.NullUnmarked;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import picocli.CommandLine;
import picocli.CommandLine.Model.OptionSpec;

/** What the commands print, and that their description is true. */
@NullUnmarked
class CommandLineTest {
  @TempDir Path folder;

  @Test
  void theWholeJobReadsWell() throws IOException {
    Path supper = ShootSamples.harvestSupper(folder.resolve("supper"));
    Path target = folder.resolve("out");
    CliRun run = CliRun.of("handover", supper, "--out", target).plain();
    assertEquals(ExitCode.DONE, run.code(), run.err());
    assertEquals("", run.err());
    String text = run.text();
    assertTrue(text.startsWith("3 sources: the reference, 2 placed on it."), text);
    assertTrue(text.contains("Starts 3.000 s after the reference began"), text);
    assertTrue(text.contains("Left and right are two signals of their own"), text);
    assertTrue(text.contains("Left and right carry the same signal"), text);
    assertTrue(text.contains("lanes/CAM-B_1_mono.wav"), text);
    assertTrue(text.contains("Handed over to " + target), text);
    assertTrue(Files.exists(target.resolve("report.html")));
    // Once more: refused, then replaced; the old hand-over is no source.
    CliRun again = CliRun.of("handover", supper, "--out", target);
    assertEquals(ExitCode.USAGE, again.code());
    assertTrue(again.err().contains("--replace"), again.err());
    CliRun replaced = CliRun.of("handover", supper, "--out", target, "--replace", "--quiet");
    assertEquals(new CliRun(ExitCode.DONE, "", ""), replaced);
    // A hand-over inside the shoot's folder is not taken for sources the next time.
    Path within = supper.resolve("handed-over");
    assertEquals(ExitCode.DONE, CliRun.of("split", supper, "--out", within, "--quiet").code());
    CliRun inspect = CliRun.of("inspect", supper);
    assertTrue(inspect.out().startsWith("3 sources"), inspect.out());
  }

  @Test
  void filesCanBeLaidOutAndNamed() throws IOException {
    Path supper = ShootSamples.harvestSupper(folder.resolve("supper"));
    Path day = folder.resolve("day");
    CliRun run =
        CliRun.of(
            "handover",
            supper,
            "--out",
            day,
            "--layout",
            "device",
            "--poly",
            "--name",
            "{date}-{device}_{lane}",
            "--quiet");
    assertEquals(new CliRun(ExitCode.DONE, "", ""), run);
    Set<String> names = new TreeSet<>();
    long frames = -1;
    for (String name :
        Set.of(
            "2026-05-16-REC_poly.wav", "2026-05-16-CAM-A_poly.wav", "2026-05-16-CAM-B_mono.wav")) {
      WaveHeader header = WaveHeader.read(day.resolve("lanes").resolve(name));
      assertTrue(frames < 0 || frames == header.frameCount(), name);
      frames = header.frameCount();
      assertEquals(19L * 3600 * 48_000, header.bext().timeReferenceSamples(), name);
      names.add(name);
    }
    assertEquals(20 * 48_000, frames);
    assertEquals(names, new TreeSet<>(Set.of(day.resolve("lanes").toFile().list())));
    assertEquals(ExitCode.DONE, CliRun.of("verify", day).code());
    CliRun bad = CliRun.of("handover", supper, "--out", folder.resolve("x"), "--name", "{take}");
    assertEquals(ExitCode.USAGE, bad.code());
    assertTrue(bad.err().contains("'{take}' is none of {shoot} {device}"), bad.err());
    CliRun split = CliRun.of("split", supper, "--out", folder.resolve("x"), "--layout", "start");
    assertEquals(ExitCode.USAGE, split.code());
    assertFalse(Files.exists(folder.resolve("x")));
  }

  /** Nobody listens: a silent side gets its lane too, and every lane says that it is unchecked. */
  @Test
  void splittingUncheckedWritesEveryChannelAsItIs() throws IOException {
    float[] sound = ShootSamples.speech(5, 48_000, 3);
    Path file =
        ShootSamples.wave(
            folder.resolve("supper/CAM/a.wav"),
            WaveFormat.integer(24, 48_000, 2),
            sound,
            new float[sound.length]);
    Path target = folder.resolve("out");
    CliRun run = CliRun.of("split", file, "--out", target, "--unchecked", "--json");
    assertEquals(ExitCode.DONE, run.code(), run.err());
    JsonNode report = new ObjectMapper().readTree(run.out());
    assertEquals(2, report.get("lanes").size());
    assertEquals(
        Set.of(),
        JsonSchemaFactory.getInstance(SpecVersion.VersionFlag.V202012)
            .getSchema(Files.readString(Path.of("docs/report-schema.json")))
            .validate(report));
    for (JsonNode lane : report.get("lanes")) {
      Path written = target.resolve(lane.get("file").asText());
      WaveHeader header = WaveHeader.read(written);
      assertEquals(sound.length, header.frameCount());
      assertEquals(BextLoudness.NONE, header.bext().loudness());
      assertEquals("unchecked", header.cuePoints().get(0).label());
      try (WaveFileReader reader = WaveFileReader.open(written);
          WaveFileReader original = WaveFileReader.open(file)) {
        int[][] got = new int[1][sound.length];
        int[][] wanted = new int[2][sound.length];
        reader.readIntegersAt(0, got, sound.length);
        original.readIntegersAt(0, wanted, sound.length);
        assertArrayEquals(wanted[lane.get("channels").get(0).asInt()], got[0]);
      }
    }
    assertEquals(ExitCode.DONE, CliRun.of("verify", target).code());
    String text = CliRun.of("split", file, "--out", folder.resolve("b"), "--unchecked").text();
    assertTrue(text.contains("nobody looked for faults"), text);
  }

  @Test
  void devicesCanBeSaid() throws IOException {
    Path supper = folder.resolve("supper");
    good(supper.resolve("CARD/a.wav"));
    ShootSamples.wave(
        supper.resolve("CARD/b.wav"),
        WaveFormat.integer(16, 48_000, 1),
        ShootSamples.speech(8, 48_000, 1));
    CliRun said =
        CliRun.of("inspect", supper, "--json", "--device", "B=CARD/b*", "--device", "A=CARD");
    assertEquals(ExitCode.DONE, said.code(), said.err());
    JsonNode sources = new ObjectMapper().readTree(said.out()).get("sources");
    assertEquals("A", sources.get(0).get("device").asText());
    assertEquals("B", sources.get(1).get("device").asText());
    CliRun nothing = CliRun.of("inspect", supper, "--device", "B=CARD/c*");
    assertEquals(ExitCode.USAGE, nothing.code());
    assertTrue(nothing.err().contains("No source fits the pattern CARD/c*"), nothing.err());
    CliRun half = CliRun.of("inspect", supper, "--device", "B");
    assertEquals(ExitCode.USAGE, half.code());
    assertTrue(half.err().contains("NAME=PATTERN"), half.err());
  }

  @ParameterizedTest
  @ValueSource(strings = {"inspect", "lineup", "split", "handover"})
  void jsonIsAllThatIsPrinted(String command) throws IOException {
    Path file = good(folder.resolve("supper/a.wav"));
    Files.write(folder.resolve("supper/b.mov"), new byte[0]);
    Object[] arguments =
        command.equals("split") || command.equals("handover")
            ? new Object[] {command, file.getParent(), "--json", "--out", folder.resolve("out")}
            : new Object[] {command, file.getParent(), "--json"};
    CliRun run = CliRun.of(arguments);
    assertEquals(ExitCode.PARTLY, run.code());
    assertEquals("", run.err());
    JsonNode report =
        new ObjectMapper()
            .enable(DeserializationFeature.FAIL_ON_TRAILING_TOKENS)
            .readTree(run.out());
    assertEquals(
        Set.of(),
        JsonSchemaFactory.getInstance(SpecVersion.VersionFlag.V202012)
            .getSchema(Files.readString(Path.of("docs/report-schema.json")))
            .validate(report));
    assertEquals(2, report.get("sources").size());
  }

  @Test
  void theWrittenReportIsThePrintedOne() throws IOException {
    Path file = good(folder.resolve("supper/a.wav"));
    Path target = folder.resolve("out");
    CliRun run = CliRun.of("split", file, "--json", "--out", target);
    assertEquals(run.out(), Files.readString(target.resolve("report.json")));
  }

  @Test
  void quietPrintsNothingButFailures() throws IOException {
    Path file = good(folder.resolve("supper/a.wav"));
    assertEquals(
        new CliRun(ExitCode.DONE, "", ""), CliRun.of("inspect", file.getParent(), "--quiet"));
    Files.write(folder.resolve("supper/b.mov"), new byte[0]);
    assertEquals(
        new CliRun(ExitCode.PARTLY, "", ""), CliRun.of("inspect", file.getParent(), "--quiet"));
    CliRun missing = CliRun.of("inspect", folder.resolve("nowhere"), "--quiet");
    assertEquals("", missing.out());
    assertFalse(missing.err().isEmpty());
  }

  @Test
  void progressIsShownOnATerminalAndWipedAgain() throws IOException {
    Path file = good(folder.resolve("supper/a.wav"));
    CliRun run = CliRun.on(true, "inspect", file);
    assertTrue(run.err().contains("\r"), run.err());
    assertTrue(run.err().contains("reading"), run.err());
    assertTrue(run.err().endsWith("\r" + " ".repeat(40) + "\r"), "not wiped: " + run.err());
    int last = -1;
    Matcher percents = Pattern.compile("\r *([0-9]+) %").matcher(run.err());
    while (percents.find()) {
      int percent = Integer.parseInt(percents.group(1));
      assertTrue(percent >= last && percent <= 60, run.err());
      last = percent;
    }
    assertEquals(60, last, "reading is the first 60 % of the job");
    assertFalse(run.out().contains("\r"));
  }

  @Test
  void aCancelledJobSaysSo() throws IOException {
    Path file = good(folder.resolve("supper/a.wav"));
    StringWriter out = new StringWriter();
    StringWriter err = new StringWriter();
    PrintWriter errors = new PrintWriter(err, true);
    Terminal terminal = new Terminal(new PrintWriter(out), errors, false);
    terminal.cancel();
    Path target = folder.resolve("out");
    int code =
        Hardpan.run(terminal, errors, "handover", file.toString(), "--out", target.toString());
    assertEquals(ExitCode.CANCELLED, code);
    assertEquals("", out.toString());
    assertTrue(err.toString().startsWith("hardpan: Cancelled; nothing was left half-done."));
    assertFalse(Files.exists(target));
  }

  @Test
  void everyCommandExplainsItselfAndItsVersion() {
    for (String name : model().getSubcommands().keySet()) {
      CliRun help = CliRun.of(name, "--help");
      assertEquals(ExitCode.DONE, help.code());
      assertTrue(help.out().startsWith("Usage: hardpan " + name), help.out());
      assertTrue(CliRun.of(name, "--version").out().startsWith("Hardpan "), name);
    }
    assertTrue(CliRun.of("--version").out().startsWith("Hardpan "));
    String help = CliRun.of("--help").out();
    assertTrue(help.contains("130"), help);
  }

  @Test
  void padDoesTheSums() {
    // 0 dBu = sqrt(0.6) V (ITU-R BS.645-2): 0.7746 V x 10^(-31/20) = 21.83 mV.
    assertTrue(CliRun.of("pad").text().startsWith("+4 dBu less 35 dB is -31 dBu = 21.8 mV"));
    CliRun excess = CliRun.of("pad", "--excess", "17").plain();
    assertTrue(excess.text().contains("+4 dBu less 25 dB is -21 dBu = 69.0 mV"), excess.out());
    assertTrue(CliRun.of("pad", "--source", "-10", "--pad", "20").text().contains("-30 dBu"));
    // -10 dBV is 0.3162 V = -7.78 dBu; 10 mV is 30 dB less.
    CliRun home = CliRun.of("pad", "--source", "-10dBV", "--input", "10mV").plain();
    assertTrue(home.text().contains("-7.78 dBu less -37.78 dBu is 30 dB: a 30 dB pad fits."));
    assertTrue(home.text().contains("is -37.78 dBu = 10.0 mV"), home.out());
    CliRun fits = CliRun.of("pad", "--source", "0.1V", "--input", "4").plain();
    assertTrue(fits.text().contains("no pad is needed"), fits.out());
    assertFalse(fits.text().contains(" = "), fits.out());
    for (String caution : new String[] {"phantom power", "licensed electrician", "hearing"}) {
      assertTrue(home.text().contains(caution), caution);
    }
    CliRun much = CliRun.of("pad", "--excess", "60").plain();
    assertFalse(much.out().contains(" less "), "no sum without a pad: " + much.out());
    CliRun none = CliRun.of("pad", "--excess", "-20").plain();
    assertTrue(none.text().contains("no pad is needed"), none.out());
    assertFalse(none.out().contains(" less "), none.out());
    assertTrue(CliRun.of("pad", "--excess", "60", "--pad", "40").out().contains("less 40 dB"));
  }

  /** docs/command-line.md names every command and every option there is. */
  @Test
  void theDescriptionIsWhole() throws IOException {
    String text = Files.readString(Path.of("docs/command-line.md"));
    for (Map.Entry<String, CommandLine> command : model().getSubcommands().entrySet()) {
      assertTrue(text.contains("`hardpan " + command.getKey()), command.getKey());
      for (OptionSpec option : command.getValue().getCommandSpec().options()) {
        for (String name : option.names()) {
          Pattern row =
              Pattern.compile("^\\|.*`" + Pattern.quote(name) + "[`=].*\\|$", Pattern.MULTILINE);
          assertTrue(row.matcher(text).find(), command.getKey() + " " + name);
        }
        String[] words = {"best", "native", "fallback", "auto", "on", "off"};
        if (option.paramLabel().equals("WHICH") || option.paramLabel().equals("WHEN")) {
          for (String word : words) {
            assertTrue(text.contains("`" + word + "`"), word);
          }
        }
      }
    }
  }

  /** And no option that there is not. */
  @Test
  void theDescriptionInventsNothing() throws IOException {
    String text = Files.readString(Path.of("docs/command-line.md"));
    Set<String> known = new TreeSet<>(Set.of("--check"));
    for (CommandLine command : model().getSubcommands().values()) {
      command.getCommandSpec().options().forEach(option -> known.addAll(Set.of(option.names())));
    }
    Matcher options = Pattern.compile("(?<![\\w-])--[a-z]+").matcher(text);
    while (options.find()) {
      assertTrue(known.contains(options.group()), options.group());
    }
  }

  /** The codes in the program, in its help and in the description agree. */
  @Test
  void theExitCodesAgree() throws Exception {
    Map<String, String> inHelp = new TreeMap<>();
    model().getCommandSpec().usageMessage().exitCodeList().forEach(inHelp::put);
    Set<String> inProgram = new TreeSet<>();
    for (Field field : ExitCode.class.getDeclaredFields()) {
      if (field.getType() == int.class) {
        inProgram.add(Integer.toString(field.getInt(null)));
      }
    }
    assertEquals(inProgram, inHelp.keySet());
    Map<String, String> inText = new TreeMap<>();
    String text = Files.readString(Path.of("docs/command-line.md"));
    Matcher rows =
        Pattern.compile("^\\| ([0-9]+) \\| (.*) \\|$", Pattern.MULTILINE)
            .matcher(text.substring(text.indexOf("## Exit codes")));
    while (rows.find()) {
      inText.put(rows.group(1), rows.group(2));
    }
    assertEquals(inProgram, inText.keySet());
    inHelp.forEach((code, says) -> assertTrue(inText.get(code).startsWith(says), code));
  }

  private static CommandLine model() {
    PrintWriter nowhere = new PrintWriter(new StringWriter());
    return Hardpan.commandLine(new Terminal(nowhere, nowhere, false), nowhere);
  }

  private static Path good(Path file) throws IOException {
    return ShootSamples.wave(
        file, WaveFormat.integer(24, 48_000, 1), ShootSamples.speech(1, 48_000, 2));
  }
}
