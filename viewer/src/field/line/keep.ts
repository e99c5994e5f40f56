// The line being recorded, kept on the phone as it grows: each position is written when it
// comes, so that a phone that dies loses none.

import type { Shelf } from "../shelf.ts";
import type { Course } from "./course.ts";
import { resumed, spotsOf } from "./course.ts";

export interface Kept {
  readonly kind: string;
  readonly course: Omit<Course, "before">;
}

export const keptKey = (property: string, kind: string, shape: "line" | "area"): string => `line ${property} ${kind} ${shape}`;

export async function keptCourse(shelf: Shelf, property: string, kind: string, shape: "line" | "area"): Promise<Course | undefined> {
  const kept = await shelf.draft<Kept>(keptKey(property, kind, shape));
  return kept && spotsOf({ ...kept.course, before: [] }).length ? resumed(kept.course) : undefined;
}

/** Writes one after the other; while one is being written only the newest of the rest waits. */
export class Keeper {
  private waiting: Course | null = null;
  private writing: Promise<void> | null = null;
  private dropped = false;

  constructor(
    private readonly shelf: Shelf,
    private readonly key: string,
    private readonly kind: string,
    private readonly told: (kept: number | null) => void, // positions on the phone; null: it could not be written
  ) {}

  keep(course: Course): void {
    if (this.dropped) return;
    this.waiting = course;
    this.writing ??= this.write().finally(() => (this.writing = null));
  }

  /** Forgets the draft once its features are saved. */
  async drop(): Promise<void> {
    this.dropped = true;
    this.waiting = null;
    await this.writing;
    await this.shelf.dropDraft(this.key);
  }

  private async write(): Promise<void> {
    for (let next = this.waiting; next; next = this.waiting) {
      this.waiting = null;
      const { before, ...course } = next;
      void before; // what could be undone is not worth its bytes
      try {
        await this.shelf.keepDraft(this.key, { kind: this.kind, course } satisfies Kept);
        this.told(spotsOf(next).length);
      } catch {
        this.told(null);
      }
    }
  }
}
