// What the page shows: as it came with the page, or by land.json, with every way that can
// go wrong told apart. Of a large property those hold an index, and its lists come in blocks,
// each kept by its name: what did not change is not asked for again.

import { type Index, type Land, landOf, type Lists, listNames, readIndex } from "./land.ts";
import type { Trouble } from "./state.ts";

/** The address of the page without a closing slash: land.json, blocks and photos lie below it. */
export function linkAddress(path: string): string {
  return path.replace(/\/+$/, "");
}

/** The land that the server put into the page, or its index, or null. */
export function landInPage(block: HTMLElement | null): Index | null {
  try {
    return readIndex(JSON.parse(block?.textContent || "null"));
  } catch {
    return null; // cut off on the way
  }
}

const atOnce = 6; // blocks asked for at a time, as many as a browser asks for
const mostIndexes = 20; // asked for while blocks go on changing

/** Asks for the land of one link. */
export class Asker {
  private readonly blocks = new Map<string, unknown[]>();

  constructor(private readonly link: string) {}

  /** The land as it is now. part is given what of it has come, each time that is twice as much. */
  async ask(came: Index | null, part: (land: Land) => void): Promise<Land | Trouble> {
    let index = came ?? (await this.get("land.json", { cache: "no-cache" }));
    for (let asked = 0; typeof index !== "string"; asked++) {
      const read = readIndex(index);
      if (!read) return "broken";
      const trouble = await this.fill(read, part);
      if (trouble === null) {
        this.forgetBut(read);
        return landOf(read, this.blocks);
      }
      if (trouble !== "unknown" || asked === mostIndexes) return trouble === "unknown" ? "broken" : trouble;
      index = await this.get("land.json", { cache: "no-cache" }); // a block has changed meanwhile
    }
    return index as Trouble;
  }

  /** Asks for the blocks that are not here yet; null when all are. */
  private async fill(index: Index, part: (land: Land) => void): Promise<Trouble | null> {
    const missing = namesIn(index).filter((name) => !this.blocks.has(name));
    let trouble: Trouble | null = null;
    let [came, told] = [0, 0];
    const worker = async () => {
      for (let name = missing.shift(); name !== undefined && trouble === null; name = missing.shift()) {
        const rows = await this.get(`blocks/${name}`, {});
        if (typeof rows === "string" || !Array.isArray(rows)) {
          trouble ??= typeof rows === "string" ? (rows as Trouble) : "broken";
          return;
        }
        this.blocks.set(name, rows);
        came++;
        if (came < 2 * told || missing.length === 0) continue;
        told = Math.max(came, atOnce);
        part(landOf(index, this.blocks));
      }
    };
    await Promise.all(Array.from({ length: atOnce }, worker));
    return trouble;
  }

  private forgetBut(index: Index): void {
    const stay = new Set(namesIn(index));
    for (const name of this.blocks.keys()) if (!stay.has(name)) this.blocks.delete(name);
  }

  private async get(path: string, how: RequestInit): Promise<unknown> {
    let answer: Response;
    try {
      answer = await fetch(`${this.link}/${path}`, { ...how, credentials: "omit" });
    } catch {
      return "offline";
    }
    if (answer.status === 410) return "ended";
    if (answer.status === 423) return "unconfirmed";
    if (answer.status === 404 || answer.status === 403) return "unknown";
    if (!answer.ok) return "broken";
    try {
      return await answer.json();
    } catch {
      return "broken"; // cut off on the way, or not JSON
    }
  }
}

const namesIn = ({ blocks }: Index): string[] => (blocks ? listNames.flatMap((list: keyof Lists) => blocks[list].names) : []);
