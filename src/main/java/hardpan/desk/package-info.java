/**
 * The window. Flows in: paths from the command line, from a drop or from a folder dialog. Flows
 * out: the shoot on the screen and, if asked, a hand-over written by the steps of {@link
 * hardpan.shoot}. Views only draw and bind; what they show is in {@link hardpan.desk.model}. No
 * signal code, no file parsing.
 */
@NullMarked
package hardpan.desk;

import org.jspecify.annotations.NullMarked;
