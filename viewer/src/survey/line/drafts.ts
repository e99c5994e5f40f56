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

export const keptKey = (property: string, kind: string, shape: "line" | "area"): string => `line ${property} ${kind} ${shape}`;

/**
 * A walk that broke off goes on when it is opened again: who continues it walks, and would not
 * notice that nothing is recorded. After so long the officer may be anywhere, and it waits.
 * Common practice, no source.
 */
const goesOnMS = 3_600_000;

/** A line that was begun, as it goes on now. */
export async function keptRecording(store: Store, property: string, kind: string, shape: "line" | "area"): Promise<Recording | undefined> {
  const kept = await store.draft<RecordingDraft>(keptKey(property, kind, shape));
  if (!kept || !spotsOf({ ...kept.course, before: [] }).length) return undefined;
  const back = resumed(kept.course);
  const brokenOff = kept.course.walk === "on" && back.pending !== null && Date.now() - back.pending.fromMS < goesOnMS;
  return kept.goesOn || brokenOff ? reduce(back, { do: "walk" }) : back;
}

/** A line that was begun. */
export interface Name {
  readonly kind: string;
  readonly shape: "line" | "area";
}

const listKey = (property: string): string => `lines ${property}`;

/** A line that was begun, and how far it came. */
export interface BegunLine extends Name {
  readonly positions: number;
}

/** The lines of a property that were begun and not saved. */
export async function begunLines(store: Store, property: string): Promise<readonly BegunLine[]> {
  const names = await listed(store, property);
  const recordings = await Promise.all(names.map(({ kind, shape }) => keptRecording(store, property, kind, shape)));
  return names.flatMap((name, i) => {
    const recording = recordings[i];
    return recording ? [{ ...name, positions: spotsOf(recording).length }] : [];
  });
}

/** The names of those that were begun; some may have come to nothing. */
async function listed(store: Store, property: string): Promise<readonly Name[]> {
  return (await store.draft<readonly Name[]>(listKey(property))) ?? [];
}

async function list(store: Store, property: string, { kind, shape }: Name, on: boolean): Promise<void> {
  const others = (await listed(store, property)).filter((n) => n.kind !== kind || n.shape !== shape);
  await store.keepDraft(listKey(property), on ? [...others, { kind, shape }] : others);
}

/** Keeps a line that was saved and undone to be gone on with; false where another of its name was begun since. */
export async function keepAgain(store: Store, property: string, name: Name, recording: Recording): Promise<boolean> {
  if (await keptRecording(store, property, name.kind, name.shape)) return false;
  await list(store, property, name, true);
  const { before, ...course } = reduce(recording, { do: "pause" }); // nothing was recorded since
  void before;
  const draft: RecordingDraft = { kind: name.kind, course, ...(recording.walk === "on" && { goesOn: true as const }) };
  await store.keepDraft(keptKey(property, name.kind, name.shape), draft);
  return true;
}

/** Keeps a line as it grows, until it is saved. */
export class LineWriter {
  private readonly writer: LatestWriter<Recording>;
  private dropped: Promise<void> | undefined;
  private listed = false;

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
    await this.store.dropDraft(keptKey(this.property, this.name.kind, this.name.shape));
    await list(this.store, this.property, this.name, false);
  }

  private async write({ before, ...recording }: Recording): Promise<void> {
    void before; // what could be undone is not worth its bytes
    const { kind, shape } = this.name;
    if (!this.listed) await list(this.store, this.property, this.name, true);
    this.listed = true;
    await this.store.keepDraft(keptKey(this.property, kind, shape), { kind, course: recording } satisfies RecordingDraft);
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
