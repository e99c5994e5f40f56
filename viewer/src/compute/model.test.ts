// The page's end of the computations' worker: started once, started again when it ended, and
// refused in words where it is not on the phone.

import assert from "node:assert/strict";
import test from "node:test";
import { withGlobals } from "../base/globals.test.ts";
import { WorkerModel } from "./model.ts";

interface Question {
  readonly id: number;
  readonly name?: string;
  readonly gather?: object;
  readonly sheets?: object;
  readonly plan?: object;
}

/** Workers as a page starts them; answer gives what each says to a question, "dies" ends it. */
async function withWorkers(
  answer: (question: Question, worker: number) => object | "dies" | "fails",
  job: (phone: { started: number; stopped: number; list: number }) => Promise<void>,
) {
  const phone = { started: 0, stopped: 0, list: 200 };
  class Worker {
    readonly n = phone.started++;
    onmessage: ((event: { data: object }) => void) | null = null;
    onerror: ((event: { message: string }) => void) | null = null;
    constructor() {
      queueMicrotask(() => {
        if (answer({ id: -1 }, this.n) === "fails") this.onmessage?.({ data: { failed: "it does not compile" } });
        else this.onmessage?.({ data: { ready: true } });
      });
    }
    postMessage(question: Question) {
      const said = answer(question, this.n);
      queueMicrotask(() =>
        said === "dies"
          ? this.onerror?.({ message: "out of memory" })
          : this.onmessage?.({ data: { id: question.id, ...(said as object) } }),
      );
    }
    terminate() {
      phone.stopped++;
    }
  }
  const fetch = async () => new Response(JSON.stringify({ worker: "worker.js" }), { status: phone.list });
  await withGlobals({ Worker, fetch }, () => job(phone));
}
const ok = (output: object) => ({ answer: { ok: true, output } });

test("one worker answers everything, each question with its own answer", () =>
  withWorkers(
    (q) => ok(q.gather ? { features: [q.gather] } : q.sheets ? { sheets: { a: q.sheets } } : q.plan ? { says: [q.plan] } : { of: q.name }),
    async (phone) => {
      const model = new WorkerModel();
      await model.ready();
      assert.deepEqual(await Promise.all([model.compute("cover", {}), model.compute("area", {})]), [{ of: "cover" }, { of: "area" }]);
      assert.deepEqual(await model.gather([]), [{ features: [] }]);
      assert.deepEqual(await model.sheets({ x: 1 }), { sheets: { a: { x: 1 } } });
      assert.deepEqual(await model.plan({ x: 1 }), { says: [{ x: 1 }] });
      assert.deepEqual([phone.started, phone.stopped, model.ended], [1, 0, 0]);
    },
  ));

test("a question is asked again of another worker, once; what is refused is told plainly", () =>
  withWorkers(
    (q, worker) =>
      q.id >= 0 && worker === 0
        ? "dies"
        : q.name === "area"
          ? { answer: { ok: false, problem: { path: "rings", reason: "no ring", fix: "give one" } } }
          : ok({}),
    async (phone) => {
      const model = new WorkerModel();
      assert.deepEqual(await model.compute("cover", {}), {});
      assert.deepEqual([phone.started, model.ended], [2, 1]);
      assert.ok(phone.stopped >= 1);
      await assert.rejects(
        model.compute("area", {}),
        (problem: { path: string; reason: string }) => problem.path === "rings" && /ring/.test(problem.reason),
      );
      assert.equal(phone.started, 2, "a refusal is an answer");
    },
  ));

test("where every worker ends there is no answer, and sheets say so by nothing", () =>
  withWorkers(
    (q) => (q.id >= 0 ? "dies" : {}),
    async (phone) => {
      const model = new WorkerModel();
      await assert.rejects(model.compute("cover", {}), { reason: "The computations are not on this phone yet." });
      assert.equal(phone.started, 2);
      assert.equal(await model.sheets({}), undefined);
      assert.equal(await model.plan({}), undefined);
      assert.equal(model.ended, 4);
    },
  ));

test("a program that cannot be had is tried again at the next call", () => {
  let fails = true;
  return withWorkers(
    () => (fails ? "fails" : ok({})),
    async (phone) => {
      const model = new WorkerModel();
      await assert.rejects(model.ready(), { reason: "The computations are not on this phone yet." });
      phone.list = 404;
      await assert.rejects(model.compute("cover", {}), { reason: "The computations are not on this phone yet." });
      assert.equal(phone.started, 1);
      phone.list = 200;
      fails = false;
      assert.deepEqual(await model.compute("cover", {}), {});
    },
  );
});
