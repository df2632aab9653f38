import { describeFault, type Log } from './log.ts';

/** Errors of the language itself: their messages name parts of the program, not what it was given. */
const OWN_WORDS = [TypeError, ReferenceError, RangeError];

/**
 * Ends the process with exit code 1 at a fault that nobody took care of, as it would end anyway; but only the fault's
 * kind and place are written. The platform would print everything that hangs on it, such as the row that a database
 * refused or the message that could not be sent.
 */
export function endOnFault(log: Log): void {
  const end = (fault: unknown): void => {
    const { message, ...kindAndPlace } = describeFault(fault);
    const own = OWN_WORDS.some((kind) => fault instanceof kind);
    log.fatal(
      { fault: { ...kindAndPlace, ...(own && { because: message }) } },
      'ended by a fault that nobody expected',
    );
    process.exit(1);
  };
  process.on('uncaughtException', end);
  process.on('unhandledRejection', end);
}
