// SHA-256 of entries and photos, and the chain that binds a register's entries in order.

/** The chain before the first entry. */
export const noChain = "0".repeat(64);

export async function sha256(bytes: BufferSource): Promise<Uint8Array<ArrayBuffer>> {
  return new Uint8Array(await crypto.subtle.digest("SHA-256", bytes));
}

/** In lower-case hexadecimal, as photos are named. */
export async function sha256Hex(bytes: BufferSource): Promise<string> {
  return hexOf(await sha256(bytes));
}

/** The chain after an entry's hash: the SHA-256 of the chain before it and of the hash. */
export async function chainAfter(before: Uint8Array, entry: Uint8Array): Promise<Uint8Array<ArrayBuffer>> {
  const both = new Uint8Array(64);
  both.set(before);
  both.set(entry, 32);
  return sha256(both);
}

export function hexOf(bytes: Uint8Array): string {
  return Array.from(bytes, (b) => b.toString(16).padStart(2, "0")).join("");
}

export function bytesOf(hex: string): Uint8Array<ArrayBuffer> {
  return Uint8Array.from(hex.match(/../g) ?? [], (pair) => parseInt(pair, 16));
}
