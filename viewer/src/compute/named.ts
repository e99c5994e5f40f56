// A feature as Go's answers name it.

/** A feature as people tell it from others. */
export interface Named {
  readonly feature: string;
  readonly kind: string;
  readonly name?: string;
}

/** A feature that an answer goes without, in whole or in part. */
export interface LeftOut extends Named {
  readonly visit?: string; // the visit to it that is left out
  readonly on?: string;
  readonly why: string;
}

/** What became of a feature that an adopted plan rests on, in a sentence. */
export interface BaseChange {
  readonly feature: string;
  readonly what: string;
}
