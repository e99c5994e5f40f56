// What pages ask of Go, run in this page or worker from the same code as on the server: the
// computations, the fold, the figures and the plans. The page must be served with the content policy for computing pages
// (viewer.ComputingPolicy): compiling WebAssembly needs 'wasm-unsafe-eval'.
//
// Nothing is fetched before load() is called.

import "go:glue";
import program from "go:program";
import type { Problem } from "../base/problem.ts";
import type { Types } from "./types/index.ts";

/** An answer, or why there is none. */
export type Answer<Out = unknown> = { ok: true; output: Out } | { ok: false; problem: Problem };

/** One computation, as GET /compute describes it; input and output are JSON Schemas. */
export interface Description {
  name: string;
  summary: string;
  limits?: string[];
  cautions?: string[];
  sources?: { title: string; place?: string; how: string }[];
  /** How its work grows, at worst, with the length n of its input: "n", "n log n" or "n^2". */
  growth: string;
  input: object;
  output: object;
}

/** The loaded program. Each answers at once; what is refused gives a Problem and never throws. */
export interface Program {
  compute<Name extends keyof Types>(name: Name, input: Types[Name]["input"]): Answer<Types[Name]["output"]>;
  /** The same on JSON text, byte for byte what POST /compute/NAME gives. */
  computeText(name: string, json: string): Text;
  list(): Description[];
  /** Folds entries that the phone keeps into features: sync/phonecompute.Fold. */
  gather(question: object): Answer;
  /** Takes in changed features and gives figures, checks and cautions: sync/phonecompute.Sheets. */
  sheets(question: object): Answer;
  /** Takes in changed features and plans works from what is recorded: sync/phonecompute.Sheets. */
  plan(question: object): Answer;
  /** Takes in changed features and gives the order of works of the property: likewise. */
  order(question: object): Answer;
  /** Takes in changed features and tells what came of the works, and what is due: likewise. */
  followUp(question: object): Answer;
}

interface Text {
  text: string;
  refused: boolean;
}

/** An entry point of viewer/wasm/main.go; texts are UTF-8. */
type EntryPoint<Asked extends unknown[]> = (...asked: Asked) => { text: Uint8Array; refused: boolean };

/** What viewer/wasm/main.go hands over. */
interface EntryPoints {
  answer: EntryPoint<[name: string, input: Uint8Array]>;
  catalogue: EntryPoint<[]>;
  gather: EntryPoint<[question: Uint8Array]>;
  sheets: EntryPoint<[question: Uint8Array]>;
  plan: EntryPoint<[question: Uint8Array]>;
  order: EntryPoint<[question: Uint8Array]>;
  followUp: EntryPoint<[question: Uint8Array]>;
}

declare global {
  var Go: new () => { importObject: WebAssembly.Imports; run(instance: WebAssembly.Instance): Promise<void> };
  var headcutReady: ((points: EntryPoints) => void) | undefined;
}

let loading: Promise<Program> | undefined;

/**
 * Fetches and starts the program, once: later calls give the same. It compiles while it
 * arrives. Rejects when there is no connection or the browser lacks WebAssembly; the next
 * call tries again.
 */
export function load(): Promise<Program> {
  loading ??= start().then(offered, (error: unknown) => {
    loading = undefined;
    throw error;
  });
  return loading;
}

/**
 * The program lies beside this script, and is asked for as it was, so that a worker started
 * with ?kept asks the phone alone. The browser is given the answer itself: it keeps what it
 * has compiled of it for the next time.
 */
async function start(): Promise<EntryPoints> {
  const response = await fetch(new URL(program + new URL(import.meta.url).search, import.meta.url));
  if (!response.ok) throw new Error(`${response.url}: the answer is ${response.status}`);
  const go = new globalThis.Go();
  const { instance } = await WebAssembly.instantiateStreaming(response, go.importObject);
  return new Promise((resolve) => {
    globalThis.headcutReady = resolve;
    void go.run(instance); // it ends with the page
  });
}

function offered({ answer, catalogue, gather, sheets, plan, order, followUp }: EntryPoints): Program {
  const encoder = new TextEncoder();
  const decoder = new TextDecoder("utf-8", { fatal: true, ignoreBOM: true });
  const bytes = (question: unknown) => encoder.encode(JSON.stringify(question) ?? "");
  const read = <Out>({ text, refused }: ReturnType<EntryPoint<[]>>): Answer<Out> => {
    const told: unknown = JSON.parse(decoder.decode(text));
    return refused ? { ok: false, problem: told as Problem } : { ok: true, output: told as Out };
  };
  return {
    compute: (name, input) => read(answer(name, bytes(input))),
    computeText: (name, json) => {
      const { text, refused } = answer(name, encoder.encode(json));
      return { text: decoder.decode(text), refused };
    },
    list: () => JSON.parse(decoder.decode(catalogue().text)) as Description[],
    gather: (question) => read(gather(bytes(question))),
    sheets: (question) => read(sheets(bytes(question))),
    plan: (question) => read(plan(bytes(question))),
    order: (question) => read(order(bytes(question))),
    followUp: (question) => read(followUp(bytes(question))),
  };
}
