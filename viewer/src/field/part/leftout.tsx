// What is told beside an answer, folded away: what to watch for, what it was made from, and what it goes without.

import type { ComponentChildren } from "preact";
import { kindNamed } from "../../base/kinds.ts";
import { unbroken } from "../../base/number.ts";
import { called, count, day } from "../../base/words.ts";
import type { LeftOut as Without, Named } from "../../compute/named.ts";
import { Fold } from "../../ui/panel.tsx";

export function ToWatch({ of }: { of: readonly { readonly text: string }[] }) {
  if (of.length === 0) return null;
  return (
    <Fold title={`To watch for: ${of.length}`}>
      {of.map(({ text }) => (
        <p key={text}>{unbroken(text)}</p>
      ))}
    </Fold>
  );
}

export function LeftOut({ all }: { all: readonly Without[] }) {
  if (all.length === 0) return null;
  return (
    <Fold title={`Left out, and why: ${count(all.length, "item", "items")}`}>
      <List>{all.map((l) => `${l.visit ? "Visit to " : ""}${nameOf(l)}${on(l)}: ${l.why}.`)}</List>
    </Fold>
  );
}

export const nameOf = ({ name, kind }: Named): string =>
  kind === "settings" ? "The property's settings" : called(name ?? "", kindNamed(kind).label);
export const on = (one: { readonly on?: string }): string => (one.on ? `, ${day(one.on)}` : "");

export function List({ children }: { children: readonly string[] }): ComponentChildren {
  return (
    <ul>
      {children.map((one) => (
        <li key={one}>{unbroken(one)}</li>
      ))}
    </ul>
  );
}
