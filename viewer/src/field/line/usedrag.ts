// The drags of a screen with a map.

import { useRef } from "preact/hooks";
import { dragOf, type Around, type Drag } from "./drag.ts";

export function useDrag(course: Around["course"], act: Around["act"], accuracyM: Around["accuracyM"]): Drag {
  const now = useRef<Around>({ course, act, accuracyM });
  now.current = { course, act, accuracyM };
  const made = useRef<Drag | null>(null);
  return (made.current ??= dragOf(() => now.current));
}
