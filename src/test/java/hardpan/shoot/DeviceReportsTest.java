package hardpan.shoot;

import static org.junit.jupiter.api.Assertions.assertEquals;

import org.junit.jupiter.api.Test;

class DeviceReportsTest {
  @Test
  void aClockIsToldInWords() {
    assertEquals(
        "CAM-B's clock is 1 h 0 min 12 s ahead of REC's; so near to whole or half hours it is"
            + " mostly the time zone.",
        DeviceReports.says("CAM-B", "REC", 3612.3));
    assertEquals("A's clock is 7 min 3 s behind REC's.", DeviceReports.says("A", "REC", -423.2));
    assertEquals("A's clock is 2 s ahead of REC's.", DeviceReports.says("A", "REC", 1.6));
    assertEquals("A's clock agrees with REC's to the second.", DeviceReports.says("A", "REC", 0.4));
    assertEquals(
        "A's clock is 7 days 0 h 10 min 0 s behind REC's.",
        DeviceReports.says("A", "REC", -605_400));
  }
}
