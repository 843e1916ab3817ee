/**
 * The command line. Flows in: arguments. Flows out: text or the report contract on standard output,
 * progress on a terminal, and an exit code. Commands hold no signal code and parse no media.
 */
@NullMarked
package hardpan.cli;

import org.jspecify.annotations.NullMarked;
