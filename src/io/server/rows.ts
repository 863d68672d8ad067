/**
 * What a row of records tells, by its first number. A row is four numbers: what, when in milliseconds, and two that
 * depend on it. Rows are written on the note path, so they are plain numbers in one array.
 */
export const ROW = {
  /** Part, and status · 65536 + data1 · 256 + data2: a message the tuner was told. */
  heard: 0,
  /** Part: everything of it was ended. */
  silenced: 1,
  homeNow: 2,
  homeNext: 3,
  /** 1: the drift is held; 0: it is let go. */
  heldDrift: 4,
  /** The tuner began anew. */
  restarted: 5,
  /** Channel the note that began last was sent on. */
  sentOn: 6,
  /** Channel, and where its bend stands. */
  sentBend: 7,
  /** Nothing but the time: everything before it has been told. */
  time: 8,
} as const;

/** Numbers in a row. */
export const ROW_LENGTH = 4;
