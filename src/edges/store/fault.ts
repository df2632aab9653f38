export type FaultCode =
  /** A row does not hold what its column promises; `where` names table and id. */
  | 'torn-row'
  /** The store was used inside its own transaction. */
  | 'outer-handle-inside-transaction'
  /** The schema could not be brought up to date. */
  | 'migration-failed'
  /** The file is no database, or its pages are damaged. */
  | 'database-damaged'
  /** The place of the database cannot be opened or written. */
  | 'database-unusable';

/** A fault of the store: ours or the machine's, never the owner's. The message holds no personal data. */
export class StoreFault extends Error {
  readonly code: FaultCode;
  constructor(code: FaultCode, message: string, options?: ErrorOptions) {
    super(message, options);
    this.name = 'StoreFault';
    this.code = code;
  }
}
