package hardpan.shoot;

/** What is made to coincide when sources are placed. */
public enum PlaceBy {
  /** What is heard: the first arrival of a sound at each source. */
  SOUND,
  /** What is seen, as far as it is known how long the sound needed to reach a source. */
  PICTURE
}
