/** An instant: ISO 8601 in UTC with milliseconds, always 24 characters, so that text order is time order. */
export type Instant = string;

/** A calendar day, `2026-05-02`, in the zone that the context names (the shop's, unless said otherwise). */
export type IsoDate = string;

/** An IANA time-zone name, such as `America/Denver`. */
export type Zone = string;
