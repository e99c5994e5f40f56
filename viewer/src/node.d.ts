// The little of node that tests beside the scripts use; the pages themselves never run in it.

declare module "node:test" {
  export default function test(name: string, run: () => void | Promise<void>): void;
}

declare module "node:assert/strict" {
  interface Assert {
    (value: unknown, message?: string): asserts value;
    ok(value: unknown, message?: string): asserts value;
    equal(got: unknown, want: unknown, message?: string): void;
    notEqual(got: unknown, unwanted: unknown, message?: string): void;
    deepEqual(got: unknown, want: unknown, message?: string): void;
    throws(run: () => unknown, error?: RegExp | object, message?: string): void;
    rejects(run: Promise<unknown> | (() => Promise<unknown>), error?: RegExp | object, message?: string): Promise<void>;
    match(text: string, pattern: RegExp, message?: string): void;
    fail(message?: string): never;
  }
  const assert: Assert;
  export default assert;
}

declare module "node:fs" {
  export function readFileSync(path: string | URL, encoding: "utf8"): string;
  export function readdirSync(path: string | URL, options?: { recursive: boolean }): string[];
}

declare module "node:child_process" {
  export function execFileSync(file: string, args: readonly string[], options: { input?: string; encoding: "utf8" }): string;
}
