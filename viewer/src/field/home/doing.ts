// What the first screen offers to do, by the address it opens.

import { cameraPath } from "../kit/sign.tsx";

export interface Doing {
  readonly route: string;
  readonly label: string;
  readonly sign: string; // an SVG path in a 24 by 24 box
}

export const doings: readonly Doing[] = [
  { route: "#/mark", label: "Mark", sign: "M12 3v12M12 21a3 3 0 1 0-.1 0M6 9l6 6 6-6" },
  { route: "#/line", label: "Line or area", sign: "M4 19l5-9 5 4 6-10M4 19h.1M20 4h.1" },
  { route: "#/level", label: "Level", sign: "M4 6h16v4H4zM12 10v4M12 14l-5 7M12 14l5 7" },
  { route: "#/peg", label: "Peg out", sign: "M6 3v18M6 4h10l-3 3 3 3H6" },
  { route: "#/photo", label: "Photo", sign: cameraPath },
  { route: "#/visit", label: "Visit", sign: "M12 6v6l4 3M12 3a9 9 0 1 0 .1 0" },
];
