// The computations of model/compute, run in this page or worker from the same Go code as
// on the server. The page must be served with the content policy for computing pages
// (viewer.ComputingPolicy): compiling WebAssembly needs 'wasm-unsafe-eval'.
//
// Nothing is fetched before load() is called.

import type { Types } from "./types/index.ts";

/** What is wrong with an input, as every door of Headcut tells it. */
export interface Problem {
  file?: string;
  line?: number;
  path?: string; // "bed[3].levelM"
  reason: string;
  fix?: string;
}

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

/** Bytes of the program that have arrived, of how many; both before decompression. */
export type Progress = (loaded: number, total: number) => void;

/** The loaded program. */
export interface Computations {
  /** Answers at once; an input that is refused gives a Problem and never throws. */
  compute<Name extends keyof Types>(name: Name, input: Types[Name]["input"]): Answer<Types[Name]["output"]>;
  /** The same on JSON text, byte for byte what POST /compute/NAME gives. */
  computeText(name: string, json: string): { text: string; refused: boolean };
  list(): Description[];
}

/** The program beside the computations, which only the field page loads. */
export interface Handset {
  /** Folds entries that the phone keeps into features: sync/handset.Fold. */
  gather(question: object): Answer;
  /** Takes in changed features and gives figures, checks and cautions: sync/handset.Sheets. */
  sheets(question: object): Answer;
}

/**
 * The address of a built file: all lie beside this script, and are asked for as it was, so
 * that a worker started with ?kept asks the phone alone.
 */
const at = (name: string): string => new URL(name + new URL(import.meta.url).search, import.meta.url).href;

/** The names of the day. */
interface Program {
  program: string;
  bytes: number;
}
interface Built extends Program {
  exec: string; // Go's own glue, of the toolchain that built the programs
  handset: Program;
}

/** What viewer/wasm/main.go hands over. */
interface Door {
  answer(name: string, input: Uint8Array): { text: Uint8Array; refused: boolean };
  catalogue(): Uint8Array;
}

/** What viewer/wasm/handset/main.go hands over. */
interface HandsetDoor {
  gather(question: Uint8Array): { text: Uint8Array; refused: boolean };
  sheets(question: Uint8Array): { text: Uint8Array; refused: boolean };
}

interface GoGlue {
  importObject: WebAssembly.Imports;
  run(instance: WebAssembly.Instance): Promise<void>;
}

declare global {
  var Go: new () => GoGlue;
  var headcutReady: ((door: unknown) => void) | undefined;
}

let starting = Promise.resolve<unknown>(undefined); // programs start one after another
const loading: { computations?: Promise<Computations>; handset?: Promise<Handset> } = {};

/**
 * Fetches and starts the program, once: later calls give the same. It compiles while it
 * arrives. Rejects when there is no connection or the browser lacks WebAssembly; the next
 * call tries again.
 */
export function load(progress: Progress = () => {}): Promise<Computations> {
  loading.computations ??= start<Door>((built) => built, progress).then(computations, (error: unknown) => {
    delete loading.computations;
    throw error;
  });
  return loading.computations;
}

/** The same for the program beside it. */
export function loadHandset(progress: Progress = () => {}): Promise<Handset> {
  loading.handset ??= start<HandsetDoor>((built) => built.handset, progress).then(handset, (error: unknown) => {
    delete loading.handset;
    throw error;
  });
  return loading.handset;
}

function start<D>(of: (built: Built) => Program, progress: Progress): Promise<D> {
  const started = starting.then(async () => {
    const built = (await (await get("compute.json")).json()) as Built;
    const { program, bytes } = of(built);
    const [arriving] = await Promise.all([get(program), import(at(built.exec))]);
    const go = new globalThis.Go();
    const { instance } = await WebAssembly.instantiateStreaming(counted(arriving, bytes, progress), go.importObject);
    const door = new Promise<D>((resolve) => (globalThis.headcutReady = (its) => resolve(its as D)));
    void go.run(instance); // it ends with the page
    return door;
  });
  starting = started.catch(() => undefined);
  return started;
}

async function get(name: string): Promise<Response> {
  const response = await fetch(at(name));
  if (!response.ok) throw new Error(`${at(name)}: the answer is ${response.status}`);
  return response;
}

/** The response again, telling as its bytes pass. */
function counted(response: Response, total: number, progress: Progress): Response {
  let loaded = 0;
  const count = new TransformStream<Uint8Array<ArrayBuffer>, Uint8Array<ArrayBuffer>>({
    transform(chunk, controller) {
      loaded += chunk.byteLength;
      progress(loaded, total);
      controller.enqueue(chunk);
    },
  });
  return new Response(response.body!.pipeThrough(count), { headers: { "Content-Type": "application/wasm" } });
}

function computations(door: Door): Computations {
  const encoder = new TextEncoder();
  const decoder = new TextDecoder("utf-8", { fatal: true, ignoreBOM: true });
  const computeText = (name: string, json: string) => {
    const { text, refused } = door.answer(name, encoder.encode(json));
    return { text: decoder.decode(text), refused };
  };
  return {
    computeText,
    compute<Name extends keyof Types>(name: Name, input: Types[Name]["input"]): Answer<Types[Name]["output"]> {
      const { text, refused } = computeText(name, JSON.stringify(input) ?? "");
      const told: unknown = JSON.parse(text);
      return refused ? { ok: false, problem: told as Problem } : { ok: true, output: told as Types[Name]["output"] };
    },
    list: () => JSON.parse(decoder.decode(door.catalogue())) as Description[],
  };
}

function handset(door: HandsetDoor): Handset {
  const encoder = new TextEncoder();
  const decoder = new TextDecoder("utf-8", { fatal: true, ignoreBOM: true });
  const asked = (ask: HandsetDoor["gather"], question: object): Answer => {
    const { text, refused } = ask(encoder.encode(JSON.stringify(question)));
    const told: unknown = JSON.parse(decoder.decode(text));
    return refused ? { ok: false, problem: told as Problem } : { ok: true, output: told };
  };
  return {
    gather: (question) => asked(door.gather, question),
    sheets: (question) => asked(door.sheets, question),
  };
}
