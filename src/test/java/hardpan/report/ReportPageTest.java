package hardpan.report;

import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import org.junit.jupiter.api.Test;

class ReportPageTest {
  @Test
  void writesTheInventedShootForTheEye() throws IOException {
    Report report = SampleReports.honeyEvening();
    String html = ReportPage.html(report, SamplePictures.of(report), SamplePictures.extras());
    Path folder = Files.createDirectories(Path.of("target", "report-page"));
    Files.writeString(folder.resolve("honey-evening.html"), html);
    Files.writeString(folder.resolve("honey-evening.txt"), TextReport.of(report));
    assertTrue(html.startsWith("<!DOCTYPE html>"));
  }
}
