// What the computations' worker is given: only what changed, and all of it again to another worker.

import assert from "node:assert/strict";
import test from "node:test";
import type { Feature } from "../base/entry.ts";
import { SheetCache } from "./sheetcache.ts";
import type { FollowUp } from "./followup.ts";
import type { Order } from "./order.ts";
import type { Outcome } from "./plan.ts";
import type { SheetsAnswer } from "./sheets.ts";

const feature = (id: string, stamp: string, more: Partial<Feature> = {}): Feature =>
  ({ id, property: "p", fields: { name: id }, struck: false, stamp, saw: { d1: 1 }, clashes: [], unsent: 0, ...more }) as Feature;

class Worker {
  ended = 0;
  answers: (SheetsAnswer | undefined)[] = [];
  readonly put: string[][] = [];
  readonly planned: object[] = [];
  readonly asked: { [name: string]: unknown }[] = [];
  async sheets(question: object) {
    const { put, ...rest } = question as { put: { id: string; struck?: boolean }[] };
    this.put.push(put.map((f) => f.id + (f.struck ? " struck" : "")));
    this.asked.push(rest);
    const answer = this.answers.length > 0 ? this.answers.shift() : { sheets: { a: { figures: [], checks: [], cautions: [] } } };
    if (!answer) this.ended++;
    return answer;
  }
  async plan(question: object) {
    this.planned.push(question);
    return (await this.sheets(question)) && ({ says: [] } as unknown as Outcome);
  }
  async order(question: object) {
    return (await this.sheets(question)) && ({ places: [] } as unknown as Order);
  }
  async followUp(question: object) {
    return (await this.sheets(question)) && ({ due: [] } as unknown as FollowUp);
  }
}

test("a worker is given what changed since it was asked last", async () => {
  const worker = new Worker();
  const cache = new SheetCache(worker);
  const a = feature("a", "1"),
    b = feature("b", "1", { struck: true });
  assert.ok(await cache.of("p", [a, b], "a"));
  assert.equal(await cache.of("p", [a, b], "b"), undefined);
  assert.deepEqual(await cache.sections("p", [a, b]), []);
  await cache.of("p", [feature("a", "2"), b], "a");
  await cache.of("p", [feature("a", "2"), { ...b, saw: { d1: 2 } }], "a");
  await cache.of("p", [feature("a", "2"), { ...b, saw: { d1: 2 }, unsent: 1 } as Feature], "a");
  assert.deepEqual(worker.put, [["a", "b struck"], [], [], ["a"], ["b struck"], ["b struck"]]);
  assert.deepEqual(worker.asked.slice(0, 3), [
    { property: "p", of: ["a"] },
    { property: "p", of: ["b"] },
    { property: "p", sections: true },
  ]);
  await cache.of("q", [feature("a", "2")], "a");
  assert.deepEqual(worker.put.slice(-1), [["a"]], "of another property it knows nothing");
});

test("another worker is given everything, and with none there is no answer", async () => {
  const worker = new Worker();
  const cache = new SheetCache(worker);
  const a = feature("a", "1");
  await cache.of("p", [a], "a");
  worker.answers = [undefined];
  assert.ok(await cache.of("p", [a], "a"));
  assert.deepEqual(worker.put, [["a"], [], ["a"]]);
  worker.answers = [undefined, undefined];
  await assert.rejects(cache.of("p", [a], "a"), /./);
  assert.ok(await cache.of("p", [a], "a"), "the next asks again");
  assert.deepEqual(worker.put.slice(-1), [["a"]]);
});

test("the order of works and the follow-up are of the same features", async () => {
  const worker = new Worker();
  const cache = new SheetCache(worker);
  const a = feature("a", "1");
  assert.deepEqual(await cache.order("p", [a], "2026-12-01"), { places: [] });
  assert.deepEqual(await cache.followUp("p", [a], "2026-12-01", { from: 2025 }), { due: [] });
  assert.deepEqual(worker.put, [["a"], []]);
  assert.deepEqual(worker.asked, [
    { property: "p", today: "2026-12-01" },
    { property: "p", today: "2026-12-01", request: { from: 2025 } },
  ]);
});

test("works are planned from the same features, with what tells their versions", async () => {
  const worker = new Worker();
  const cache = new SheetCache(worker);
  const a = feature("a", "1", { clashes: ["rows"] });
  assert.deepEqual(await cache.plan("p", [a], { of: "a", plans: "dams" }), { says: [] });
  const put = { id: "a", fields: { name: "a" }, saw: { d1: 1 }, clashes: ["rows"] };
  assert.deepEqual(worker.planned, [{ property: "p", put: [put], request: { of: "a", plans: "dams" } }]);
  await cache.of("p", [a], "a");
  await cache.plan("p", [a], { of: "a", plans: "dams" }, "2026-12-01");
  worker.answers = [{ sheets: {}, changed: { x: [{ feature: "a", what: "Run 1 was edited since." }] } }];
  assert.deepEqual(Object.keys(await cache.changed("p", [a])), ["x"]);
  assert.deepEqual(await cache.changed("p", [a]), {});
  assert.deepEqual(worker.put, [["a"], [], [], [], []]);
  assert.deepEqual(worker.asked.slice(2, 4), [
    { property: "p", request: { of: "a", plans: "dams" }, today: "2026-12-01" },
    { property: "p", changed: true },
  ]);
});
