// The line being recorded, kept on the phone as it grows: each position is written when it
// comes, so that a phone that dies loses none.

import { LatestWriter } from "../../storage/latestwriter.ts";
import type { Store } from "../../storage/store.ts";
import { type Recording, reduce, resumed, spotsOf } from "./recording.ts";

/** As it lies on the phone: there the recording goes by its older name, course. */
export interface RecordingDraft {
  readonly kind: string;
  readonly course: Omit<Recording, "before">;
  readonly goesOn?: true; // the walk, as soon as it is read
}

const under = (property: string): string => `line ${property} `;
const keptKey = (property: string, { kind, shape }: Name): string => `${under(property)}${kind} ${shape}`;

/**
 * A walk that broke off goes on when it is opened again: who continues it walks, and would not
 * notice that nothing is recorded. After so long the officer may be anywhere, and it waits.
 * Common practice, no source.
 */
const goesOnMS = 3_600_000;

/** A line that was begun, as it goes on now. */
export async function keptRecording(store: Store, property: string, name: Name): Promise<Recording | undefined> {
  const kept = await store.draft<RecordingDraft>(keptKey(property, name));
  if (!kept || !spotsOf(kept.course).length) return undefined;
  const back = resumed(kept.course);
  const brokenOff = kept.course.walk === "on" && back.pending !== null && Date.now() - back.pending.fromMS < goesOnMS;
  return kept.goesOn || brokenOff ? reduce(back, { do: "walk" }) : back;
}

/** A line that was begun. */
export interface Name {
  readonly kind: string;
  readonly shape: "line" | "area";
}

/** A line that was begun, and how far it came. */
export interface BegunLine extends Name {
  readonly positions: number;
}

/** The lines of a property that were begun and not saved. */
export async function begunLines(store: Store, property: string): Promise<readonly BegunLine[]> {
  const drafts = await store.draftsUnder<RecordingDraft>(under(property));
  return [...drafts.values()].flatMap(({ kind, course }) => {
    const positions = spotsOf(course).length;
    return positions > 0 ? [{ kind, shape: course.shape, positions }] : [];
  });
}

/** Keeps a line that was saved and undone to be gone on with; false where another of its name was begun since. */
export async function keepAgain(store: Store, property: string, name: Name, recording: Recording): Promise<boolean> {
  if (await keptRecording(store, property, name)) return false;
  const { before, ...course } = reduce(recording, { do: "pause" }); // nothing was recorded since
  void before;
  const draft: RecordingDraft = { kind: name.kind, course, ...(recording.walk === "on" && { goesOn: true as const }) };
  await store.keepDraft(keptKey(property, name), draft);
  return true;
}

/** Keeps a line as it grows, until it is saved. */
export class LineWriter {
  private readonly writer: LatestWriter<Recording>;
  private dropped: Promise<void> | undefined;

  constructor(
    private readonly store: Store,
    private readonly property: string,
    private readonly name: Name,
    told: (kept: number | null) => void, // positions on the phone; null: it could not be written
  ) {
    this.writer = new LatestWriter(
      (recording: Recording) => this.write(recording),
      (kept) => told(kept && spotsOf(kept).length),
    );
  }

  keep(recording: Recording): void {
    if (!this.dropped) this.writer.keep(recording);
  }

  /** Forgets the draft once its features are saved. */
  drop(): Promise<void> {
    return (this.dropped ??= this.forget());
  }

  private async forget(): Promise<void> {
    await this.writer.stop();
    await this.store.dropDraft(keptKey(this.property, this.name));
  }

  private async write({ before, ...recording }: Recording): Promise<void> {
    void before; // what could be undone is not worth its bytes
    const draft: RecordingDraft = { kind: this.name.kind, course: recording };
    await this.store.keepDraft(keptKey(this.property, this.name), draft);
  }
}

// Shapes and places whose editing was begun and not saved: each is kept on the phone under its item, with the
// recording under its older name, course.
export interface ShapeDraft {
  readonly course: Omit<Recording, "before">;
  readonly of: string; // the stamp of the item then
}

const prefix = "shape ";
export const draftKey = (id: string): string => `${prefix}${id}`;

/** The items whose editing was cut off, of all properties on the phone, and the stamps that they had. */
export async function begunShapes(store: Store): Promise<ReadonlyMap<string, string>> {
  return new Map([...(await store.draftsUnder<ShapeDraft>(prefix))].map(([id, draft]) => [id, draft.of]));
}
