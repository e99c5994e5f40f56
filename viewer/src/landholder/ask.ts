// What the page shows: as it came with the page, or by land.json, with every way that can
// go wrong told apart.

import { type Land, readLand } from "./land.ts";
import type { Trouble } from "./state.ts";

/** The address of the page without a closing slash: land.json and photos lie below it. */
export function linkAddress(path: string): string {
  return path.replace(/\/+$/, "");
}

/** The land that the server put into the page, or null. */
export function landInPage(block: HTMLElement | null): Land | null {
  try {
    return readLand(JSON.parse(block?.textContent || "null"));
  } catch {
    return null; // cut off on the way
  }
}

export async function askForLand(link: string): Promise<Land | Trouble> {
  let answer: Response;
  try {
    answer = await fetch(`${link}/land.json`, { cache: "no-cache", credentials: "omit" });
  } catch {
    return "offline";
  }
  if (answer.status === 410) return "ended";
  if (answer.status === 404 || answer.status === 403) return "unknown";
  if (!answer.ok) return "broken";
  try {
    return readLand(await answer.json()) ?? "broken";
  } catch {
    return "broken"; // cut off on the way, or not JSON
  }
}
