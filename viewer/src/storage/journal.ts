// The journal of the backup: a line for every record that is kept, and for those that
// are dropped, in pieces that are only ever added. A line that cannot be read counts for
// nothing. Pure; backupcache.ts keeps it on the phone.

/** Something that the phone must not lose, in the words that journal and database share. */
export interface BackupRecord {
  readonly key: string;
  readonly value: unknown; // as JSON has it
  readonly size?: number; // bytes in a file of its own, if there are any
}

export const keptLine = ({ key, value, size }: BackupRecord): string => `${JSON.stringify({ keep: key, value, size })}\n`;

export const droppedLine = (keys: readonly string[]): string => `${JSON.stringify({ drop: keys })}\n`;

/** Says that the lines of its piece before it hold everything: older pieces do not count any more. */
export const wholeLine = `${JSON.stringify({ whole: true })}\n`;

/** What the pieces of a journal, the oldest first, say is kept. */
export function replay(pieces: readonly string[]): Map<string, BackupRecord> {
  let kept = new Map<string, BackupRecord>();
  for (const piece of pieces) {
    const own = new Set<string>(); // of this piece
    for (const line of piece.split("\n")) {
      const read = lineOf(line);
      if (!read) continue;
      if ("keep" in read && typeof read.keep === "string") {
        const { keep: key, value, size } = read;
        kept.set(key, typeof size === "number" ? { key, value, size } : { key, value });
        own.add(key);
      } else if ("drop" in read && Array.isArray(read.drop)) {
        for (const key of read.drop) kept.delete(String(key));
      } else if ("whole" in read) {
        kept = new Map([...kept].filter(([key]) => own.has(key)));
      }
    }
  }
  return kept;
}

type Line = { keep: unknown; value?: unknown; size?: unknown } | { drop: unknown } | { whole: true };

function lineOf(text: string): Line | undefined {
  if (text === "") return undefined;
  try {
    const read: unknown = JSON.parse(text);
    return typeof read === "object" && read !== null ? (read as Line) : undefined;
  } catch {
    return undefined; // torn
  }
}
