// Writing a tar archive (POSIX.1-1988 ustar) as the parts of a file: the headers are made
// here, the contents are never copied together.

const block = 512;

export interface Member {
  readonly name: string; // at most 100 ASCII characters
  readonly body: Blob; // which a browser may keep on the disk
}

/** The parts of an archive of these members, for a Blob. */
export function archive(members: readonly Member[], madeAt: Date): BlobPart[] {
  const parts = members.flatMap((m) => [header(m, madeAt), m.body, new Uint8Array((block - (m.body.size % block)) % block)]);
  return [...parts, new Uint8Array(2 * block)];
}

function header({ name, body }: Member, madeAt: Date): Uint8Array<ArrayBuffer> {
  const h = new Uint8Array(block);
  const put = (at: number, text: string) => {
    for (let i = 0; i < text.length; i++) h[at + i] = text.charCodeAt(i);
  };
  const number = (at: number, digits: number, value: number) => put(at, value.toString(8).padStart(digits, "0"));
  put(0, name);
  number(100, 7, 0o644); // mode
  number(108, 7, 0); // owner
  number(116, 7, 0); // group
  number(124, 11, body.size);
  number(136, 11, Math.max(0, Math.floor(madeAt.getTime() / 1000)));
  put(148, "        "); // the checksum counts as blanks while it is made
  put(156, "0"); // an ordinary file
  put(257, "ustar");
  put(263, "00");
  number(
    148,
    6,
    h.reduce((sum, byte) => sum + byte, 0),
  );
  return h;
}
