// What tests stand in for of a browser, for as long as one of them runs.

/** Runs a job with these globals, and puts back what was there. */
export async function withGlobals<T>(globals: { readonly [name: string]: unknown }, job: () => T | Promise<T>): Promise<T> {
  const before = Object.keys(globals).map((name) => [name, Object.getOwnPropertyDescriptor(globalThis, name)] as const);
  for (const [name, value] of Object.entries(globals))
    Object.defineProperty(globalThis, name, { value, configurable: true, writable: true });
  try {
    return await job();
  } finally {
    for (const [name, was] of before) {
      if (was) Object.defineProperty(globalThis, name, was);
      else Reflect.deleteProperty(globalThis, name);
    }
  }
}
