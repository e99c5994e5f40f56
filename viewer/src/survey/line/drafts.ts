// The line being recorded, kept on the phone as it grows: each position is written when it
// comes, so that a phone that dies loses none.

import { Keeper } from "../../storage/latestwriter.ts";
import type { Shelf } from "../../storage/store.ts";
import { type Course, resumed, spotsOf } from "./recording.ts";

export interface Kept {
  readonly kind: string;
  readonly course: Omit<Course, "before">;
}

export const keptKey = (property: string, kind: string, shape: "line" | "area"): string => `line ${property} ${kind} ${shape}`;

export async function keptCourse(shelf: Shelf, property: string, kind: string, shape: "line" | "area"): Promise<Course | undefined> {
  const kept = await shelf.draft<Kept>(keptKey(property, kind, shape));
  return kept && spotsOf({ ...kept.course, before: [] }).length ? resumed(kept.course) : undefined;
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
export async function begunLines(shelf: Shelf, property: string): Promise<readonly BegunLine[]> {
  const names = await listed(shelf, property);
  const courses = await Promise.all(names.map(({ kind, shape }) => keptCourse(shelf, property, kind, shape)));
  return names.flatMap((name, i) => {
    const course = courses[i];
    return course ? [{ ...name, positions: spotsOf(course).length }] : [];
  });
}

/** The names of those that were begun; some may have come to nothing. */
async function listed(shelf: Shelf, property: string): Promise<readonly Name[]> {
  return (await shelf.draft<readonly Name[]>(listKey(property))) ?? [];
}

async function list(shelf: Shelf, property: string, { kind, shape }: Name, on: boolean): Promise<void> {
  const others = (await listed(shelf, property)).filter((n) => n.kind !== kind || n.shape !== shape);
  await shelf.keepDraft(listKey(property), on ? [...others, { kind, shape }] : others);
}

/** Keeps a line as it grows, until it is saved. */
export class LineKeeper {
  private readonly keeper: Keeper<Course>;
  private dropped = false;
  private listed = false;

  constructor(
    private readonly shelf: Shelf,
    private readonly property: string,
    private readonly name: Name,
    told: (kept: number | null) => void, // positions on the phone; null: it could not be written
  ) {
    this.keeper = new Keeper((course: Course) => this.write(course), (kept) => told(kept && spotsOf(kept).length));
  }

  keep(course: Course): void {
    if (!this.dropped) this.keeper.keep(course);
  }

  /** Forgets the draft once its features are saved. */
  async drop(): Promise<void> {
    this.dropped = true;
    await this.keeper.stop();
    await this.shelf.dropDraft(keptKey(this.property, this.name.kind, this.name.shape));
    await list(this.shelf, this.property, this.name, false);
  }

  private async write({ before, ...course }: Course): Promise<void> {
    void before; // what could be undone is not worth its bytes
    const { kind, shape } = this.name;
    if (!this.listed) await list(this.shelf, this.property, this.name, true);
    this.listed = true;
    await this.shelf.keepDraft(keptKey(this.property, kind, shape), { kind, course } satisfies Kept);
  }
}

// Shapes and places whose editing was begun and not saved: each is kept on the phone under its item.
export interface ShapeDraft {
  readonly course: Omit<Course, "before">;
  readonly of: string; // the stamp of the item then
}

const prefix = "shape ";
export const draftKey = (id: string): string => `${prefix}${id}`;

/** The items whose editing was cut off, of all properties on the phone, and the stamps that they had. */
export async function begunShapes(shelf: Shelf): Promise<ReadonlyMap<string, string>> {
  return new Map([...(await shelf.draftsUnder<ShapeDraft>(prefix))].map(([id, draft]) => [id, draft.of]));
}
