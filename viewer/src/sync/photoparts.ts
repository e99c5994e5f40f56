// One photo over HTTP, in parts, so that a cut line costs at most one part (sync/photo).

import { device } from "../base/page.ts";
import type { Problem } from "../base/problem.ts";
import { ConnectionLost, NeverTaken, Refusal } from "./errors.ts";

const smallestPart = 256 << 10; // what a slow link is given at a time
const largestPart = 4 << 20; // what a fast one is
const quickMS = 2_000; // how soon a part must be through for the next to be larger
const patienceMS = 60_000; // for one part
const noRoom = 507;
const never = [413, 415]; // too large, no picture

/** How many bytes the next part has: what the line carries. */
export class PartSize {
  bytes = 1 << 20;

  through(tookMS: number): void {
    if (tookMS < quickMS) this.bytes = Math.min(2 * this.bytes, largestPart);
  }

  broke(): void {
    this.bytes = Math.max(this.bytes / 2, smallestPart);
  }
}

interface Progress {
  readonly offset: number; // how much the server has
  readonly complete: boolean; // and it has verified the hash: the receipt
}

/** How the server stands to a part that it did not add. */
type Odd = "misplaced" | "damaged";

export interface PhotoUpload {
  readonly origin: string; // of the server
  readonly token: string;
  readonly part: PartSize;
  readonly signal: AbortSignal;
  /** Waited for before each part: entries go first. */
  first(): Promise<unknown>;
}

/**
 * Sends what the server lacks of a photo and returns when it has verified its hash. After
 * an error it may be called again and goes on where the server stands: where it has every
 * byte and died before it had verified them, with an empty part. Bytes that arrive
 * damaged are sent once more; when that does not help, the photo is damaged here.
 */
export async function sendPhoto(upload: PhotoUpload, sha: string, bytes: ArrayBuffer): Promise<void> {
  const asked = await ask(upload, "HEAD", sha);
  if (asked.status === noRoom) {
    // the words come with the answer to an empty part
    await ask(upload, "PATCH", sha, new ArrayBuffer(0), partHeaders(0, bytes.byteLength));
    throw new ConnectionLost("the server has room again", false);
  }
  let have = progressOf(asked);
  for (let damaged = false; !have.complete; ) {
    await upload.first();
    if (have.offset > bytes.byteLength) {
      // its parts are of another photo
      throw new Refusal({ path: "sha", reason: `the server has ${have.offset} bytes of a photo of ${bytes.byteLength}` }, false);
    }
    const began = performance.now();
    const next = await addPart(upload, sha, bytes, have.offset);
    switch (next) {
      case "damaged":
        if (damaged) throw new Refusal({ path: "sha", reason: `a photo on this ${device} is damaged`, fix: "take it again" }, false);
        damaged = true;
        have = { offset: 0, complete: false };
        break;
      case "misplaced":
        have = progressOf(await ask(upload, "HEAD", sha));
        break;
      default:
        upload.part.through(performance.now() - began);
        if (next.offset <= have.offset && !next.complete) throw new ConnectionLost("the server does not get on with a photo", false);
        have = next;
    }
  }
}

async function addPart(upload: PhotoUpload, sha: string, bytes: ArrayBuffer, offset: number): Promise<Progress | Odd> {
  const answer = await ask(upload, "PATCH", sha, bytes.slice(offset, offset + upload.part.bytes), partHeaders(offset, bytes.byteLength));
  if (answer.status === 409) return "misplaced";
  if (answer.status === 422) return "damaged";
  return progressOf(answer);
}

const partHeaders = (offset: number, size: number): Record<string, string> => ({
  "Content-Type": "application/partial-upload",
  "Upload-Offset": String(offset),
  "Upload-Length": String(size),
});

function progressOf(answer: Response): Progress {
  const offset = answer.headers.get("Upload-Offset") ?? "";
  if (!/^\d+$/.test(offset)) throw new ConnectionLost("the server did not say how much of a photo it has", false);
  return { offset: Number(offset), complete: answer.headers.get("Upload-Complete") === "?1" };
}

/** Asks, and throws what is not an answer about the photo: ConnectionLost, or the server's Refusal. */
async function ask(
  upload: PhotoUpload,
  method: string,
  sha: string,
  body?: ArrayBuffer,
  headers?: Record<string, string>,
): Promise<Response> {
  const late = new AbortController();
  const stop = () => late.abort();
  const timer = setTimeout(stop, patienceMS);
  upload.signal.addEventListener("abort", stop);
  if (upload.signal.aborted) stop();
  try {
    const answer = await fetch(`${upload.origin}/photos/${sha}`, {
      method,
      body: body ?? null,
      signal: late.signal,
      cache: "no-store",
      credentials: "omit",
      redirect: "error",
      headers: { ...headers, Authorization: `Bearer ${upload.token}` },
    });
    if (answer.ok || answer.status === 409 || answer.status === 422) return answer;
    if (method === "HEAD" && answer.status === 403) throw new Refusal({ path: "token", reason: `the server refuses this ${device}` }, true);
    if (method === "HEAD" && answer.status === noRoom) return answer;
    if (never.includes(answer.status)) throw new NeverTaken(await problemOf(answer));
    throw new Refusal(
      await problemOf(answer),
      answer.status === 401 || answer.status === 403,
      answer.status === noRoom || answer.status === 503,
    );
  } catch (e) {
    if (e instanceof Refusal) throw e;
    if (body) upload.part.broke();
    throw new ConnectionLost(e instanceof Error ? e.message : String(e), false);
  } finally {
    clearTimeout(timer);
    upload.signal.removeEventListener("abort", stop);
  }
}

async function problemOf(answer: Response): Promise<Problem> {
  const told: unknown = await answer.json().catch(() => null);
  if (typeof told === "object" && told !== null && "reason" in told && typeof told.reason === "string") {
    return told as Problem;
  }
  return { reason: `the server answered ${answer.status}` };
}
