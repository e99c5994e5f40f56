// What is said when there is no map, or no newer one.

import type { Land } from "./land.ts";
import type { Trouble } from "./state.ts";
import { day } from "./words.ts";

const texts: Record<Trouble, { head: string; body: string; again: boolean }> = {
  ended: { head: "This link has expired or been withdrawn", body: "Ask the officer who sent it for a new one.", again: false },
  unconfirmed: {
    head: "The office has to confirm this link first",
    body: "Headcut was restored from a copy, and links stay closed until the office has confirmed them. Ask the officer who sent it. Once it is confirmed, the same link opens again.",
    again: true,
  },
  unknown: {
    head: "Map not found",
    body: "Part of the address may be missing. Open it again from the message it came in, or ask the officer who sent it.",
    again: false,
  },
  offline: { head: "No connection", body: "The map could not be loaded. Try again where there is signal.", again: true },
  broken: {
    head: "The map could not be loaded",
    body: "Something went wrong at the server or on the way. Try again in a few minutes.",
    again: true,
  },
};

export function Message({ trouble, land, ask, asking }: { trouble: Trouble; land: Land | null; ask: () => void; asking: boolean }) {
  const text = texts[trouble];
  const Head = land ? "h2" : "h1";
  return (
    <div class="message" role="alert">
      <Head>{text.head}</Head>
      <p>{text.body}</p>
      {land?.lastEntry && <p>The map below is from before. Its last entry is of {day(land.lastEntry)}.</p>}
      {text.again && (
        <button type="button" onClick={ask} disabled={asking}>
          {asking ? "Trying…" : "Try again"}
        </button>
      )}
    </div>
  );
}
