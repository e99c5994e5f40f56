// The program in a worker, so that a long answer does not hold up the page. remote.ts is its
// other end. What they say to each other stays readable for the pages of earlier versions: one
// that is still open may start this worker.
import type { Types } from "./types/index.ts";
import { load, type Answer, type Description, type Program } from "./compute.ts";

/** What the page asks; each with a number of its own. */
export type Question =
  | { id: number; name: keyof Types; input: unknown }
  | { id: number; gather: object }
  | { id: number; sheets: object }
  | { id: number; plan: object }
  | { id: number; order: object }
  | { id: number; followUp: object }
  | { id: number; list: true };

/** What the worker tells. */
export type Told = { ready: true } | { failed: string } | { id: number; answer: Answer } | { id: number; list: Description[] };

const tell = (what: Told) => (postMessage as (what: Told) => void)(what);

function told(program: Program, question: Question): Told {
  const { id } = question;
  if ("list" in question) return { id, list: program.list() };
  if ("gather" in question) return { id, answer: program.gather(question.gather) };
  if ("sheets" in question) return { id, answer: program.sheets(question.sheets) };
  if ("plan" in question) return { id, answer: program.plan(question.plan) };
  if ("order" in question) return { id, answer: program.order(question.order) };
  if ("followUp" in question) return { id, answer: program.followUp(question.followUp) };
  return { id, answer: program.compute(question.name, question.input as Types[keyof Types]["input"]) };
}

load().then(
  (program) => {
    addEventListener("message", (event: MessageEvent<Question>) => tell(told(program, event.data)));
    tell({ ready: true });
  },
  (error: unknown) => tell({ failed: String(error) }),
);
