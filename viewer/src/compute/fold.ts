// What is asked of the computations, which fold entries into features by the rule of
// sync/register, and what they answer.

/** Folds features from all their entries: model.gather of the wasm build. */
export type Gather = (features: readonly Unfolded[]) => Promise<readonly Folded[]>;

export interface Unfolded {
  readonly feature: string;
  readonly entries: readonly { readonly n: number; readonly arrivedMS: number; readonly text: string }[];
}

/** A field that two people set differently, neither having seen the other's; the side shown first. */
export interface Clash {
  readonly field: string; // "strike" where one struck out what another edited
  readonly values: readonly Side[];
}

/** One side of a clash: what an entry says, and whose it is. */
export interface Side {
  readonly value: unknown; // null where it was cleared
  readonly entry: string;
  readonly device: string;
  readonly author: string;
  readonly seenAt: string; // RFC 3339, where the officer stood
}

export interface Folded {
  readonly feature: string;
  readonly fields: { readonly [name: string]: unknown };
  readonly struck?: boolean;
  readonly clashes?: readonly Clash[];
  readonly saw: { readonly [device: string]: number };
  readonly stamp: string;
}
