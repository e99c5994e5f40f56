// What a camera notes in the Exif segment of a JPEG file: lists of tags and their values, as
// TIFF has them (Exif 2.32, section 4.6; from memory). What leads out of the segment throws a RangeError.

export interface Entry {
  readonly type: number;
  readonly count: number;
  readonly at: number; // of its value
}

const bytesOf: { readonly [type: number]: number } = { 1: 1, 2: 1, 3: 2, 4: 4, 5: 8, 7: 1 };

export class Notes {
  private constructor(
    private readonly view: DataView,
    private readonly little: boolean,
  ) {}

  /** The notes in a segment's content; undefined where their order of bytes is none. */
  static read(segment: Uint8Array): Notes | undefined {
    const view = new DataView(segment.buffer, segment.byteOffset + 6, segment.length - 6);
    const order = view.getUint16(0);
    return order === 0x4949 || order === 0x4d4d ? new Notes(view, order === 0x4949) : undefined;
  }

  first(): ReadonlyMap<number, Entry> {
    return this.list(this.view.getUint32(4, this.little));
  }

  private list(at: number): ReadonlyMap<number, Entry> {
    const entries = new Map<number, Entry>();
    const count = this.view.getUint16(at, this.little);
    for (let i = 0; i < count; i++) {
      const entry = at + 2 + 12 * i;
      const type = this.view.getUint16(entry + 2, this.little);
      const count = this.view.getUint32(entry + 4, this.little);
      const inPlace = (bytesOf[type] ?? 0) * count <= 4;
      entries.set(this.view.getUint16(entry, this.little), {
        type,
        count,
        at: inPlace ? entry + 8 : this.view.getUint32(entry + 8, this.little),
      });
    }
    return entries;
  }

  under(list: ReadonlyMap<number, Entry>, tag: number): ReadonlyMap<number, Entry> | undefined {
    const entry = list.get(tag);
    return entry?.type === 4 ? this.list(this.view.getUint32(entry.at, this.little)) : undefined;
  }

  /** The one small number of an entry. */
  short(entry: Entry): number {
    return this.view.getUint16(entry.at, this.little);
  }

  text(entry: Entry | undefined): string {
    if (entry?.type !== 2 || entry.count > 64) return "";
    let text = "";
    for (let i = 0; i < entry.count; i++) text += String.fromCharCode(this.view.getUint8(entry.at + i));
    return text.split("\0")[0]!.trim();
  }

  /** Fractions; undefined where there are not so many, or one is divided by nothing. */
  numbers(entry: Entry | undefined, count: number): readonly number[] | undefined {
    if (entry?.type !== 5 || entry.count !== count) return undefined;
    const all = Array.from(
      { length: count },
      (_, i) => this.view.getUint32(entry.at + 8 * i, this.little) / this.view.getUint32(entry.at + 8 * i + 4, this.little),
    );
    return all.every(Number.isFinite) ? all : undefined;
  }
}

/** Whether the content of a segment is notes of this kind. */
export const isExif = (segment: Uint8Array): boolean =>
  segment.length >= 14 && String.fromCharCode(...segment.subarray(0, 6)) === "Exif\0\0";
