// The page's end of worker.ts.
import type { Answer, Description, Progress } from "./compute.ts";
import type { Types } from "./types.ts";
import type { Question, Told } from "./worker.ts";

/** The computations, answering later. */
export interface RemoteComputations {
  compute<Name extends keyof Types>(name: Name, input: Types[Name]["input"]): Promise<Answer<Types[Name]["output"]>>;
  list(): Promise<Description[]>;
  gather(question: object): Promise<Answer>;
  sheets(question: object): Promise<Answer>;
  stop(): void;
}

/** Starts a worker with the program in it. Rejects as load() does. */
export async function loadInWorker(progress: Progress = () => {}): Promise<RemoteComputations> {
  const built = (await (await fetch("/assets/compute.json")).json()) as { worker: string };
  const worker = new Worker("/assets/" + built.worker, { type: "module" });
  const waiting = new Map<number, (told: Told) => void>();
  let asked = 0;
  const ask = (question: { name: keyof Types; input: unknown } | { gather: object } | { sheets: object } | { list: true }) =>
    new Promise<Told>((resolve) => {
      const id = asked++;
      waiting.set(id, resolve);
      worker.postMessage({ id, ...question } satisfies Question);
    });
  await new Promise<void>((resolve, reject) => {
    worker.onerror = (event) => reject(new Error(event.message || "the worker did not start"));
    worker.onmessage = (event: MessageEvent<Told>) => {
      const told = event.data;
      if ("progress" in told) progress(...told.progress);
      else if ("ready" in told) resolve();
      else if ("failed" in told) reject(new Error(told.failed));
      else {
        waiting.get(told.id)?.(told);
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
    stop: () => worker.terminate(),
  };
}
