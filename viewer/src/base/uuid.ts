// Ids of entries and features: UUIDv7, RFC 9562 section 5.7.

/** When an id was made; undefined for one that newID did not make. */
export function madeAt(id: string): Date | undefined {
  const ms = /^([0-9a-f]{8})-([0-9a-f]{4})-7/.exec(id);
  return ms ? new Date(Number.parseInt(ms[1]! + ms[2]!, 16)) : undefined;
}

/** A new id, in 36 characters of lower case, by a clock in milliseconds since 1970. */
export function newID(nowMS: number = Date.now()): string {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  let ms = Math.max(0, Math.floor(nowMS));
  for (let i = 5; i >= 0; i--) {
    bytes[i] = ms % 256;
    ms = Math.floor(ms / 256);
  }
  bytes[6] = 0x70 | (bytes[6]! & 0x0f);
  bytes[8] = 0x80 | (bytes[8]! & 0x3f);
  const hex = Array.from(bytes, (b) => b.toString(16).padStart(2, "0")).join("");
  return [hex.slice(0, 8), hex.slice(8, 12), hex.slice(12, 16), hex.slice(16, 20), hex.slice(20)].join("-");
}
