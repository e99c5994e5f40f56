// The first screen: what was recorded today, and what to record next.

import { useMemo, useState } from "preact/hooks";
import { screens, type Params } from "../app/screens.ts";
import { useApp } from "../app/shell.tsx";
import { calledProperty } from "../app/property.ts";
import { nameOf } from "../app/names.ts";
import { clock, count } from "../app/words.ts";
import { kindNamed } from "../app/kinds.ts";
import { kindOf, type Feature } from "../entry.ts";
import { UnfinishedBook } from "../book/unfinished.tsx";
import { useField } from "../field.ts";
import { KindMark } from "../kit/mark.tsx";
import { Button } from "../kit/button.tsx";
import { Sign } from "../kit/sign.tsx";
import { useRead } from "../kit/useread.ts";
import { UnfinishedLine } from "../line/unfinished.tsx";
import { Asked, Developing, usePending } from "../picture/pending.tsx";
import { begunWork, nothingBegun, type Begun } from "./begun.ts";
import { doings } from "./doing.ts";
import { NotKept } from "./notkept.tsx";
import { Preview } from "./preview.tsx";
import { stampedAt, today } from "./today.ts";
import { Unfinished } from "./unfinished.tsx";

export function Home(_: { params: Params }) {
  const field = useField();
  const { state } = useApp();
  const begun = useRead(() => begunWork(field.shelf, field.property.id), nothingBegun, field.property.id);
  const several = state.self?.properties.filter((p) => !p.into).length ?? 0;
  return (
    <>
      <header class="head first">
        <div>
          <h1 tabIndex={-1}>{calledProperty(field.property)}</h1>
          <a class="quiet" href="#/property">{several > 1 ? `Properties (${several})` : "Properties"}</a>
        </div>
      </header>
      <div class={begun && state.featuresRead ? "sheet" : "sheet coming"}>
        {begun && <Sheet begun={begun} />}
      </div>
      <nav class="actions doings" aria-label="Record">
        {doings.filter((d) => screens.some((s) => s.route === d.route)).map((d) => (
          <a key={d.route} class="button" href={d.route}>
            <Sign path={d.sign} />
            {d.label}
          </a>
        ))}
      </nav>
    </>
  );
}

function Sheet({ begun: { kept, form, book, lines, shots } }: { begun: Begun }) {
  const field = useField();
  const { state } = useApp();
  const device = state.self?.device ?? "", day = new Date().toDateString();
  const done = useMemo(() => today(field.features, device, new Date()), [field.features, device, day]);
  const { asked, ...pending } = usePending(undefined, shots);
  const [atFirst] = useState(() => new Set(asked.map((s) => s.id)));
  return (
    <>
      {kept !== true && <NotKept kept={kept} />}
      {form && <Unfinished form={form} />}
      {book && <UnfinishedBook book={book} />}
      {lines.map((line) => <UnfinishedLine key={`${line.kind} ${line.shape}`} line={line} />)}
      {asked.filter((s) => atFirst.has(s.id)).map((shot) => <Asked key={shot.id} shot={shot} />)}
      <Preview features={field.features} />
      <h2 id="today">{done.length ? `Today: ${count(done.length, "item", "items")}` : state.featuresRead ? "Nothing recorded today yet" : "Today"}</h2>
      <ul class="list" aria-labelledby="today">
        {done.map((f) => <Done key={f.id} feature={f} />)}
      </ul>
      {asked.filter((s) => !atFirst.has(s.id)).map((shot) => <Asked key={shot.id} shot={shot} />)}
      <Developing {...pending} />
    </>
  );
}

function Done({ feature }: { feature: Feature }) {
  const field = useField();
  const kind = kindNamed(kindOf(feature));
  const name = nameOf(feature, field.features);
  const at = clock(stampedAt(feature), new Date());
  const strike = () =>
    field.capture([{ feature: feature.id, strike: !feature.struck }], `${name} ${feature.struck ? "restored" : "struck out"}`).catch(() => field.say("It could not be saved. Try again."));
  return (
    <li class={feature.struck ? "struck" : undefined}>
      <a href={`#/thing/${feature.id}`}>
        <KindMark kind={kind.name} />
        <span class="word">
          <span class="name">{name}</span>
          <span class="soft">{at}{feature.unsent > 0 && ", not sent yet"}{feature.struck && ", struck out"}</span>
        </span>
      </a>
      <Button rank="quiet" press={() => void strike()} label={`${feature.struck ? "Restore" : "Strike out"} ${name} of ${at}`}>
        {feature.struck ? "Restore" : "Strike out"}
      </Button>
    </li>
  );
}
