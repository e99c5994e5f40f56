// Numbers as they are keyed with a glove: text until they are whole, so that half a number
// can stand there.

import { numberIn } from "../../base/number.ts";

export type Key = "0" | "1" | "2" | "3" | "4" | "5" | "6" | "7" | "8" | "9" | "." | "sign" | "rub";

/** What a number is: a staff reading has one figure before its point, the rest any. */
export type Sort = "staff" | "plain";

/** Most figures kept after the point: books are exact to a tenth of a millimetre. */
const decimals = 4;

/** The text after one more key. */
export function press(text: string, key: Key, sort: Sort): string {
  switch (key) {
    case "sign":
      return text.startsWith("-") ? text.slice(1) : `-${text}`;
    case "rub":
      return rubbed(text);
    default:
      return tidy(text + key, sort);
  }
}

/** The text after one more key on a number that was proposed: a figure or a point replaces it, the other keys edit it. */
export const pressOn = (text: string, key: Key, sort: Sort, proposed: boolean): string =>
  press(proposed && key !== "rub" && key !== "sign" ? "" : text, key, sort);

/**
 * Text typed or pasted, made what the pad would have made of it: no letters, one point,
 * and in a staff reading a point after the first figure, so that 1 4 3 5 gives 1.435.
 */
export function tidy(text: string, sort: Sort): string {
  const minus = /^\s*[-\u2212]/.test(text) ? "-" : "";
  const plain = text.replace(/,/g, ".").replace(/[^0-9.]/g, "");
  const dot = plain.indexOf(".");
  let whole = dot < 0 ? plain : plain.slice(0, dot);
  let part = dot < 0 ? undefined : plain.slice(dot + 1).replace(/\./g, "");
  if (sort === "staff" && part === undefined && whole.length > 1) [whole, part] = [whole.slice(0, 1), whole.slice(1)];
  if (part !== undefined) part = part.slice(0, decimals);
  return minus + (part === undefined ? whole.slice(0, 6) : `${whole.slice(0, 6) || "0"}.${part}`);
}

/** One figure back; a point left hanging by it goes too. */
function rubbed(text: string): string {
  const shorter = text.slice(0, -1);
  return shorter.endsWith(".") && !text.endsWith(".") ? shorter.slice(0, -1) : shorter;
}

/** The number that the keyed text says, undefined while it says none. */
export function keyedIn(text: string): number | undefined {
  const said = numberIn(text);
  return Number.isNaN(said) ? undefined : said;
}

/** What was read, and its sums and steps: "1.435", "-0.3155", to the millimetre and finer only where the book is. A level is said to the millimetre. */
export function metres(m: number): string {
  const fine = m.toFixed(4);
  return fine.endsWith("0") ? m.toFixed(3) : fine;
}
