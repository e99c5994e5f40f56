// The page's end of worker.ts.
import type { Answer, Description } from "./compute.ts";
import type { Types } from "./types/index.ts";
import type { Question, Told } from "./worker.ts";

/**
 * The program in a worker, answering later. A call rejects when the worker has ended; another
 * must be started then.
 */
export interface RemoteComputations {
  compute<Name extends keyof Types>(name: Name, input: Types[Name]["input"]): Promise<Answer<Types[Name]["output"]>>;
  list(): Promise<Description[]>;
  gather(question: object): Promise<Answer>;
  sheets(question: object): Promise<Answer>;
  plan(question: object): Promise<Answer>;
  order(question: object): Promise<Answer>;
  followUp(question: object): Promise<Answer>;
  stop(): void;
}

/**
 * Starts a worker with the program in it. Rejects as load() does. kept asks for every file on
 * the phone alone: only the page's service worker answers that.
 */
export async function loadInWorker(kept = false): Promise<RemoteComputations> {
  const at = (name: string) => new URL(name + (kept ? "?kept" : ""), import.meta.url);
  const list = await fetch(at("compute.json"));
  if (!list.ok) throw new Error(`the list of the computations' files: the answer is ${list.status}`);
  const built = (await list.json()) as { worker: string };
  const worker = new Worker(at(built.worker), { type: "module" });
  const waiting = new Map<number, { yes: (told: Told) => void; no: (why: Error) => void }>();
  let asked = 0,
    over: Error | undefined; // the worker has ended, maybe while nobody asked
  const ask = (
    question:
      | { name: keyof Types; input: unknown }
      | { gather: object }
      | { sheets: object }
      | { plan: object }
      | { order: object }
      | { followUp: object }
      | { list: true },
  ) =>
    new Promise<Told>((yes, no) => {
      if (over) return no(over);
      const id = asked++;
      waiting.set(id, { yes, no });
      worker.postMessage({ id, ...question } satisfies Question);
    });
  const ended = (why: string) => {
    over = new Error(why);
    for (const { no } of waiting.values()) no(over);
  };
  await new Promise<void>((resolve, reject) => {
    worker.onerror = (event) => {
      worker.terminate();
      ended(event.message || "the worker has ended");
      reject(new Error(event.message || "the worker did not start"));
    };
    worker.onmessage = (event: MessageEvent<Told>) => {
      const told = event.data;
      if ("ready" in told) resolve();
      else if (!("id" in told)) reject(new Error(told.failed));
      else {
        waiting.get(told.id)?.yes(told);
        waiting.delete(told.id);
      }
    };
  });
  return {
    compute: async <Name extends keyof Types>(name: Name, input: Types[Name]["input"]) =>
      ((await ask({ name, input })) as { answer: Answer<Types[Name]["output"]> }).answer,
    list: async () => ((await ask({ list: true })) as { list: Description[] }).list,
    gather: async (question) => ((await ask({ gather: question })) as { answer: Answer }).answer,
    sheets: async (question) => ((await ask({ sheets: question })) as { answer: Answer }).answer,
    plan: async (question) => ((await ask({ plan: question })) as { answer: Answer }).answer,
    order: async (question) => ((await ask({ order: question })) as { answer: Answer }).answer,
    followUp: async (question) => ((await ask({ followUp: question })) as { answer: Answer }).answer,
    stop: () => {
      worker.terminate();
      ended("the worker was stopped");
    },
  };
}
