// The computations in a worker, so that a long one does not hold up the page. remote.ts is
// its other end.
import type { Types } from "./types/index.ts";
import { load, loadHandset, type Answer, type Description } from "./compute.ts";

/** What the page asks; each with a number of its own. */
export type Question =
  | { id: number; name: keyof Types; input: unknown }
  | { id: number; gather: object }
  | { id: number; sheets: object }
  | { id: number; list: true };

/** What the worker tells. */
export type Told =
  | { progress: [number, number] }
  | { ready: true }
  | { failed: string }
  | { id: number; answer: Answer }
  | { id: number; failed: string } // it could not load what the question needs
  | { id: number; list: Description[] };

const tell = (what: Told) => (postMessage as (what: Told) => void)(what);

/** The program beside the computations is loaded when it is first asked. */
async function askHandset(question: Question & ({ gather: object } | { sheets: object })) {
  try {
    const handset = await loadHandset();
    tell({ id: question.id, answer: "gather" in question ? handset.gather(question.gather) : handset.sheets(question.sheets) });
  } catch (error) {
    tell({ id: question.id, failed: String(error) });
  }
}

load((loaded, total) => tell({ progress: [loaded, total] })).then(
  (computations) => {
    addEventListener("message", (event: MessageEvent<Question>) => {
      const question = event.data;
      if ("list" in question) tell({ id: question.id, list: computations.list() });
      else if ("gather" in question || "sheets" in question) void askHandset(question);
      else tell({ id: question.id, answer: computations.compute(question.name, question.input as Types[keyof Types]["input"]) });
    });
    tell({ ready: true });
  },
  (error: unknown) => tell({ failed: String(error) }),
);
