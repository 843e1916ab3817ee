package hardpan.media;

/**
 * What a file says of the device that made it; empty texts where it does not say.
 *
 * @param make the maker's name
 * @param model the device's kind; of a Broadcast Wave file its originator
 * @param serial the single device's number
 * @param software the program or firmware that wrote the file
 */
public record Maker(String make, String model, String serial, String software) {
  /** Nothing is said. */
  public static final Maker UNKNOWN = new Maker("", "", "", "");

  /** Make and model for people, without naming the maker twice; empty if neither is known. */
  public String name() {
    if (model.isEmpty() || make.isEmpty() || model.regionMatches(true, 0, make, 0, make.length())) {
      return model.isEmpty() ? make : model;
    }
    return make + " " + model;
  }
}
