package hardpan.desk;

import static com.tngtech.archunit.lang.syntax.ArchRuleDefinition.noClasses;

import com.tngtech.archunit.core.domain.JavaClasses;
import com.tngtech.archunit.core.importer.ClassFileImporter;
import com.tngtech.archunit.core.importer.ImportOption;
import org.junit.jupiter.api.Test;

/** What the window may and may not use. */
class DeskRoomTest {
  private static final JavaClasses DESK =
      new ClassFileImporter()
          .withImportOption(ImportOption.Predefined.DO_NOT_INCLUDE_TESTS)
          .importPackages("hardpan.desk");

  @Test
  void theModelsKnowNoScene() {
    noClasses()
        .that()
        .resideInAPackage("hardpan.desk.model..")
        .should()
        .dependOnClassesThat()
        .resideInAnyPackage("javafx.scene..", "javafx.stage..", "javafx.application..")
        .because("they are tested without the toolkit")
        .check(DESK);
  }

  @Test
  void theWindowNeitherMeasuresNorParses() {
    noClasses()
        .should()
        .dependOnClassesThat()
        .resideInAnyPackage("hardpan.signal..", "hardpan.wave..", "org.bytedeco..", "hardpan.cli..")
        .because("that is done in the rooms below")
        .check(DESK);
  }
}
