// The addresses of a page's screens: pure. "#/mark/:kind" is met by "#/mark/peg", which names
// { kind: "peg" }.

/** What the address of a screen names. */
export type Params = { readonly [name: string]: string };

export interface Route {
  readonly route: string;
}

/** The row of an address and what it names; the first row for one that nobody has. */
export function rowAt<Row extends Route>(address: string, rows: readonly Row[]): { row: Row; params: Params } {
  const given = parts(address);
  for (const row of rows) {
    const wanted = parts(row.route);
    if (wanted.length !== given.length) continue;
    const params: { [name: string]: string } = {};
    const fits = wanted.every((part, i) => {
      const value = given[i] ?? "";
      if (!part.startsWith(":")) return part === value;
      params[part.slice(1)] = decoded(value);
      return value !== "";
    });
    if (fits) return { row, params };
  }
  return { row: rows[0]!, params: {} };
}

function parts(address: string): string[] {
  return address.replace(/^#?\/?/, "").split("/");
}

function decoded(text: string): string {
  try {
    return decodeURIComponent(text);
  } catch {
    return text; // an address somebody typed
  }
}
