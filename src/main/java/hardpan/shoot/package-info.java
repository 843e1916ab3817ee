/**
 * The model of a shoot and the steps of the job: find, analyse, line up, hand over.
 *
 * <p>Flows in: folders and files. Flows out: a {@link hardpan.shoot.Shoot}, a {@link
 * hardpan.report.Report}, and a hand-over folder. The two faces, command line and window, call the
 * steps and nothing below them.
 */
@NullMarked
package hardpan.shoot;

import org.jspecify.annotations.NullMarked;
