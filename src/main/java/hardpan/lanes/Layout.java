package hardpan.lanes;

/** How the lanes of a hand-over are laid out in files. */
public enum Layout {
  /** A file for each lane of each clip, as long as the clip. */
  CLIP,
  /** The same, but every file begins at the same instant and has the same length. */
  START,
  /** One file for each lane of a device, over the whole shoot, silence where nothing was filmed. */
  DEVICE
}
