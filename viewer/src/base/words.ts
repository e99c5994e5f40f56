// How the page words numbers, times and distances.

/** "1,200": so that a number of many digits is read at a glance. */
export const grouped = (n: number): string => String(n).replace(/\B(?=(\d{3})+$)/g, ",");

/** "1 entry", "1,200 entries". */
export const count = (n: number, one: string, many: string): string => `${grouped(n)} ${n === 1 ? one : many}`;

/**
 * "10:42" on the same day, else "10:42 on 24 November 2026". By hand: the browser's own formatting
 * takes an old phone longer than drawing the screen.
 */
export function clock(at: Date, now: Date): string {
  const time = `${two(at.getHours())}:${two(at.getMinutes())}`;
  if (at.toDateString() === now.toDateString()) return time;
  return `${time} on ${day(dayOf(at))}`;
}

/** The same, as short as a table needs it: "10:42" on the same day, else "24 November 2026", or "no date". */
export function clockOrDay(at: Date | undefined, now: Date): string {
  if (!at) return "no date";
  return at.toDateString() === now.toDateString() ? clock(at, now) : day(dayOf(at));
}

/** "3 m", "450 m", "1.2 km": as a person paces it. */
export function distance(m: number): string {
  if (m < 950) return `${Math.round(m)} m`;
  return `${(m / 1000).toFixed(m < 9950 ? 1 : 0)} km`;
}

/** Which way by compass: "north-east". */
export function compass(bearingDeg: number): string {
  const names = ["north", "north-east", "east", "south-east", "south", "south-west", "west", "north-west"];
  return names[Math.round((((bearingDeg % 360) + 360) % 360) / 45) % 8]!;
}

/** Bytes as people know them from their phone. */
export function size(bytes: number): string {
  if (bytes < 1e6) return `${Math.max(1, Math.round(bytes / 1e3))} kB`;
  if (bytes < 1e9) return `${(bytes / 1e6).toFixed(bytes < 1e7 ? 1 : 0)} MB`;
  return `${(bytes / 1e9).toFixed(1)} GB`;
}

/** "±4 m", "±2 km": how good a position is. */
export const accuracyWords = (m: number): string => `±${m < 10 ? Math.max(1, Math.ceil(m)) : distance(m)}${m < 10 ? " m" : ""}`;

export const monthNames = [
  "January",
  "February",
  "March",
  "April",
  "May",
  "June",
  "July",
  "August",
  "September",
  "October",
  "November",
  "December",
];

/** "2026-11-25" as "25 November 2026", "" as "a day not known"; anything else as it came. */
export function day(date: string): string {
  const parts = /^(\d{4})-(\d{2})-(\d{2})$/.exec(date);
  const month = parts && monthNames[Number(parts[2]) - 1];
  return parts && month ? `${Number(parts[3])} ${month} ${parts[1]}` : date || "a day not known";
}

/** The day where the phone is, as fields have it: "2026-11-25". */
export function dayOf(at: Date): string {
  return `${at.getFullYear()}-${two(at.getMonth() + 1)}-${two(at.getDate())}`;
}

/** "07". */
export const two = (n: number): string => String(n).padStart(2, "0");

/** "Needs work", of "needs work". */
export const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);

/** A text as a sentence: with a capital, and a full stop where it has no end yet. */
export const sentence = (text: string): string => `${capital(text)}${/[.?!]$/.test(text) ? "" : "."}`;

/** The order of ids and stamps. */
export const compare = (a: string, b: string): number => (a < b ? -1 : a > b ? 1 : 0);

/** What an item is called: its own name, or else its kind. */
export const called = (name: string, kindLabel: string): string => (name.trim() ? name.trim() : kindLabel);
