package hardpan.architecture;

import static com.tngtech.archunit.lang.syntax.ArchRuleDefinition.classes;
import static com.tngtech.archunit.lang.syntax.ArchRuleDefinition.noClasses;
import static com.tngtech.archunit.library.Architectures.layeredArchitecture;
import static com.tngtech.archunit.library.dependencies.SlicesRuleDefinition.slices;

import com.tngtech.archunit.base.DescribedPredicate;
import com.tngtech.archunit.core.domain.JavaClass;
import com.tngtech.archunit.core.domain.JavaMethodCall;
import com.tngtech.archunit.core.importer.ImportOption;
import com.tngtech.archunit.junit.AnalyzeClasses;
import com.tngtech.archunit.junit.ArchTest;
import com.tngtech.archunit.lang.ArchCondition;
import com.tngtech.archunit.lang.ArchRule;
import com.tngtech.archunit.lang.ConditionEvents;
import com.tngtech.archunit.lang.SimpleConditionEvent;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Locale;
import java.util.Random;

/** The rooms and their one-way arrows, as drawn in docs/architecture.md. */
@AnalyzeClasses(packages = "hardpan", importOptions = ImportOption.DoNotIncludeTests.class)
class RoomsTest {
  @ArchTest
  static final ArchRule arrowsPointDown =
      layeredArchitecture()
          .consideringOnlyDependenciesInLayers()
          .layer("start")
          .definedBy("hardpan")
          .layer("desk")
          .definedBy("hardpan.desk..")
          .layer("cli")
          .definedBy("hardpan.cli..")
          .layer("bench")
          .definedBy("hardpan.bench..")
          .layer("shoot")
          .definedBy("hardpan.shoot..")
          .layer("listen")
          .definedBy("hardpan.listen..")
          .layer("demo")
          .definedBy("hardpan.demo..")
          .layer("report")
          .definedBy("hardpan.report..")
          .layer("lanes")
          .definedBy("hardpan.lanes..")
          .layer("lineup")
          .definedBy("hardpan.lineup..")
          .layer("verdict")
          .definedBy("hardpan.verdict..")
          .layer("media")
          .definedBy("hardpan.media..")
          .layer("wave")
          .definedBy("hardpan.wave..")
          .layer("signal")
          .definedBy("hardpan.signal..")
          .layer("base")
          .definedBy("hardpan.base..")
          .withOptionalLayers(true)
          .whereLayer("start")
          .mayNotBeAccessedByAnyLayer()
          .whereLayer("desk")
          .mayOnlyBeAccessedByLayers("start", "cli")
          .whereLayer("cli")
          .mayOnlyBeAccessedByLayers("start")
          .whereLayer("bench")
          .mayOnlyBeAccessedByLayers("cli")
          .whereLayer("shoot")
          .mayOnlyBeAccessedByLayers("desk", "cli", "bench")
          .whereLayer("listen")
          .mayOnlyBeAccessedByLayers("desk")
          .whereLayer("demo")
          .mayOnlyBeAccessedByLayers("desk", "cli", "bench")
          .whereLayer("report")
          .mayOnlyBeAccessedByLayers("desk", "cli", "bench", "shoot")
          .whereLayer("lanes")
          .mayOnlyBeAccessedByLayers("desk", "cli", "bench", "shoot")
          .whereLayer("lineup")
          .mayOnlyBeAccessedByLayers("desk", "cli", "bench", "shoot", "lanes")
          .whereLayer("verdict")
          .mayOnlyBeAccessedByLayers("desk", "cli", "bench", "shoot", "lanes")
          .whereLayer("media")
          .mayOnlyBeAccessedByLayers(
              "desk", "cli", "bench", "shoot", "listen", "demo", "lanes", "lineup", "verdict")
          .whereLayer("wave")
          .mayOnlyBeAccessedByLayers("bench", "demo", "lanes", "media")
          .whereLayer("signal")
          .mayOnlyBeAccessedByLayers(
              "bench", "shoot", "listen", "demo", "lanes", "lineup", "verdict", "media", "wave");

  @ArchTest
  static final ArchRule noCycles = slices().matching("hardpan.(*)..").should().beFreeOfCycles();

  @ArchTest
  static final ArchRule signalIsPureMathematics =
      noClasses()
          .that()
          .resideInAPackage("hardpan.signal..")
          .should()
          .dependOnClassesThat()
          .resideInAnyPackage(
              "java.io..",
              "java.nio.file..",
              "java.nio.channels..",
              "java.net..",
              "java.time..",
              "org.slf4j..",
              "java.util.logging..",
              "hardpan.base..");

  @ArchTest
  static final ArchRule nativeLibrariesStayInOneFamily =
      noClasses()
          .that()
          .haveNameNotMatching("hardpan\\.media\\.Ffmpeg.*")
          .should()
          .dependOnClassesThat()
          .resideInAPackage("org.bytedeco..");

  @ArchTest
  static final ArchRule fallbackLibraryStaysInOneFamily =
      noClasses()
          .that()
          .haveNameNotMatching("hardpan\\.media\\.Jcodec.*")
          .should()
          .dependOnClassesThat()
          .resideInAnyPackage("org.jcodec..", "net.sourceforge.jaad..");

  @ArchTest
  static final ArchRule transformLibraryStaysInOneClass =
      noClasses()
          .that()
          .haveNameNotMatching("hardpan\\.signal\\.Fft")
          .should()
          .dependOnClassesThat()
          .resideInAPackage("be.tarsos..");

  @ArchTest
  static final ArchRule toolkitStaysInTheWindow =
      noClasses()
          .that()
          .resideOutsideOfPackage("hardpan.desk..")
          .should()
          .dependOnClassesThat()
          .resideInAnyPackage("javafx..", "java.awt..", "javax.swing..");

  @ArchTest
  static final ArchRule theMachinesSoundStaysInOneClass =
      noClasses()
          .that()
          .haveNameNotMatching("hardpan\\.listen\\.MachineSound.*")
          .should()
          .dependOnClassesThat()
          .resideInAPackage("javax.sound..");

  @ArchTest
  static final ArchRule argumentsStayInTheCommandLine =
      noClasses()
          .that()
          .resideOutsideOfPackage("hardpan.cli..")
          .should()
          .dependOnClassesThat()
          .resideInAPackage("picocli..");

  @ArchTest
  static final ArchRule jsonStaysWhereItIsWritten =
      noClasses()
          .that()
          .resideOutsideOfPackages("hardpan.report..", "hardpan.demo..", "hardpan.shoot..")
          .should()
          .dependOnClassesThat()
          .resideInAPackage("com.fasterxml..");

  @ArchTest
  static final ArchRule onlyTheCommandLineTalksToTheConsole =
      noClasses()
          .that()
          .resideOutsideOfPackage("hardpan.cli..")
          .should()
          .accessField(System.class, "out")
          .orShould()
          .accessField(System.class, "err");

  @ArchTest
  static final ArchRule facesHoldNoSignalCode =
      noClasses()
          .that()
          .resideInAnyPackage("hardpan.desk..", "hardpan.cli..")
          .should()
          .dependOnClassesThat()
          .resideInAnyPackage("hardpan.signal..", "hardpan.wave..");

  @ArchTest
  static final ArchRule chanceIsSeeded =
      noClasses()
          .should()
          .callConstructor(Random.class)
          .orShould()
          .callMethod(Math.class, "random");

  @ArchTest
  static final ArchRule nobodySleeps =
      noClasses().should().callMethodWhere(isCallOf("java.lang.Thread", "sleep"));

  @ArchTest
  static final ArchRule filesAreNotDeletedUnchecked =
      noClasses().should().callMethodWhere(isCallOf("java.io.File", "delete"));

  @ArchTest
  static final ArchRule everyRoomSaysWhatFlowsThroughIt =
      classes()
          .that()
          .resideInAPackage("hardpan..")
          .and()
          .resideOutsideOfPackage("hardpan")
          .should(new SitInADocumentedRoom());

  private static DescribedPredicate<JavaMethodCall> isCallOf(String owner, String method) {
    return DescribedPredicate.describe(
        "call " + owner + "." + method,
        call -> call.getTargetOwner().isAssignableTo(owner) && call.getName().equals(method));
  }

  /** Used by the rule above; a class of its own because it looks at source files. */
  private static final class SitInADocumentedRoom extends ArchCondition<JavaClass> {
    SitInADocumentedRoom() {
      super("have a package-info.java that says what flows in and out");
    }

    @Override
    public void check(JavaClass item, ConditionEvents events) {
      Path info =
          Path.of("src/main/java", item.getPackageName().replace('.', '/'), "package-info.java");
      String text;
      try {
        text = Files.readString(info);
      } catch (IOException e) {
        text = "";
      }
      String plain = text.replaceAll("\\s*\\*\\s*|\\s+", " ").toLowerCase(Locale.ROOT);
      boolean good = plain.contains("flows in") && plain.contains("flows out");
      if (!good || !text.contains("@NullMarked")) {
        events.add(SimpleConditionEvent.violated(item, info + " is wanting"));
      }
    }
  }
}
