// Writes an entry as the one line of JSON that sync/register reads, and refuses what it
// would refuse: a capture that the server cannot take must not be called saved.

import type { Entry, Fields } from "../base/entry.ts";
import { two } from "../base/words.ts";
import { invalid } from "./errors.ts";

const entryBytes = 256 << 10;
const fieldsPerEntry = 256;
const fieldNameBytes = 64;
const authorCharacters = 200;
const nestingLimit = 30; // of a field's value: it stands in "set", which stands in the entry

const utf8 = new TextEncoder();

/**
 * The entry's text. steadyMS is when it was written by a clock that is not set while the
 * page is open, in milliseconds since 1970: beside seenAt it shows that the phone's clock
 * was moved. Registers keep members they do not know.
 */
export function encode(e: Entry, steadyMS?: number): string {
  const set = e.set && cleaned(e.set);
  const text = JSON.stringify({
    v: e.v,
    id: e.id,
    property: e.property,
    feature: e.feature,
    device: e.device,
    deviceSeq: e.deviceSeq,
    stamp: e.stamp,
    seenAt: e.seenAt,
    author: e.author,
    ...(e.saw && Object.keys(e.saw).length > 0 && { saw: e.saw }),
    ...(set && { set }),
    ...(e.strike !== undefined && { strike: e.strike }),
    ...(steadyMS !== undefined && { steadyMS: Math.round(steadyMS) }),
  });
  if (utf8.encode(text).length > entryBytes) {
    throw invalid("This entry is too long to be sent.", "Save it in parts.");
  }
  return text;
}

/** Whether the server will know it as an id of a property, feature or device. */
export const isID = (s: string): boolean => /^[a-z0-9-]{1,64}$/.test(s);

export function isAuthor(s: string): boolean {
  const length = Array.from(s).length;
  return length >= 1 && length <= authorCharacters && !/\p{Cc}/u.test(s);
}

/** The fields without those that are undefined. */
export function cleaned(set: Fields): Fields {
  const given = Object.entries(set).filter(([, value]) => value !== undefined);
  if (given.length === 0) throw invalid("There is nothing to record.", "Fill in a field.");
  if (given.length > fieldsPerEntry) {
    throw invalid(`This entry has ${given.length} fields and may have ${fieldsPerEntry}.`, "Save it in parts.");
  }
  return Object.fromEntries(
    given.map(([name, value]) => {
      if (!isFieldName(name)) throw invalid(`“${name}” cannot be a field's name.`, "Use letters, digits and spaces.");
      return [name, plain(value, name, 0)];
    }),
  );
}

function isFieldName(name: string): boolean {
  return (
    name !== "strike" &&
    utf8.encode(name).length <= fieldNameBytes &&
    /^[\p{L}\p{N}\p{M}](?:[\p{L}\p{N}\p{M} _\-.:]*[\p{L}\p{N}\p{M}])?$/u.test(name) &&
    !/[\p{Nl}\p{No}]/u.test(name)
  );
}

/** A copy that JSON writes as it is: texts without broken characters, numbers that are numbers. */
function plain(value: unknown, field: string, depth: number): unknown {
  if (depth > nestingLimit) throw invalid(`“${field}” is nested too deep.`, "Save it in parts.");
  switch (typeof value) {
    case "string":
      return value.replace(/\p{Cs}/gu, "\ufffd");
    case "number":
      if (!Number.isFinite(value)) throw invalid(`“${field}” is not a number.`, "Type it again.");
      return value;
    case "boolean":
      return value;
    case "object":
      if (value === null) return null;
      if (Array.isArray(value)) return value.map((item) => plain(item, field, depth + 1));
      return Object.fromEntries(
        Object.entries(value)
          .filter(([, v]) => v !== undefined)
          .map(([name, v]) => [plain(name, field, depth), plain(v, field, depth + 1)]),
      );
    default:
      throw invalid(`“${field}” cannot be saved.`, "Type it again.");
  }
}

/** RFC 3339 by the phone's own clock and zone: 2026-11-25T09:30:00.000+10:00. */
export function localTime(at: Date): string {
  const offset = -at.getTimezoneOffset();
  const minutes = Math.abs(offset);
  const zone = `${offset < 0 ? "-" : "+"}${two(Math.floor(minutes / 60))}:${two(minutes % 60)}`;
  return new Date(at.getTime() + offset * 60_000).toISOString().replace("Z", zone);
}
