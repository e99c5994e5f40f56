// What there is to read about one item.

import { useEffect, useRef } from "preact/hooks";
import type { Item, Kind } from "./land.ts";
import { Photos } from "./photos.tsx";
import { StateSign, stateWords } from "./summary.tsx";
import { ItemSymbol } from "../map/symbol.tsx";
import { called } from "./words.ts";
import { statusOf, statusWords } from "../base/item.ts";

interface Props {
  item: Item;
  kind: Kind;
  link: string;
  takeFocus: boolean;
  close: () => void;
}

export function ItemPanel({ item, kind, link, takeFocus, close }: Props) {
  const head = useRef<HTMLHeadingElement>(null);
  useEffect(() => {
    if (takeFocus) head.current?.focus();
    head.current?.closest(".panelhead")?.scrollIntoView({ block: "nearest" });
  }, []);
  const name = called(kind.label, item.name);
  const shut = () => {
    close();
    document.getElementById(`item-${item.id}`)?.focus();
  };
  // A work that is not finished is not looked after, and how it is built is no advice for here.
  const care = kind.care && (!kind.work || item.status === "built" || item.status === "failed");
  return (
    <section class="panel noprint" aria-labelledby="chosen" onKeyDown={(e) => e.key === "Escape" && shut()}>
      <div class="panelhead">
        <ItemSymbol kind={kind} status={item.status} attention={item.state === "attention"} />
        <div>
          <h2 id="chosen" ref={head} tabIndex={-1}>
            {name}
          </h2>
          <p class="soft">{kind.work ? `${kind.label}, ${statusWords[statusOf(item)].toLowerCase()}` : kind.label}</p>
        </div>
        <button type="button" class="close" aria-label={`Close ${name}`} onClick={shut}>
          <svg viewBox="0 0 24 24" aria-hidden="true">
            <path d="M5 5l14 14M19 5L5 19" />
          </svg>
        </button>
      </div>
      {item.state && (
        <div class={`check ${item.state === "attention" ? "" : "fails"}`}>
          <h3>
            <StateSign state={item.state} />
            {stateWords[item.state]}
          </h3>
          {item.wrong.map((text, i) => (
            <p key={i}>{text}</p>
          ))}
        </div>
      )}
      {[...item.plain, item.seen].filter(Boolean).map((text, i) => (
        <p key={i} class="plain">
          {text}
        </p>
      ))}
      {!item.geometry && <p class="plain">No position was recorded: it is not on the map.</p>}
      <Photos item={item} name={name} link={link} />
      {kind.what && <p>{kind.what}</p>}
      {item.facts.length > 0 && (
        <dl class="figures">
          {item.facts.map((f) => (
            <div key={f.label}>
              <dt>{f.label}</dt>
              <dd>{f.text}</dd>
            </div>
          ))}
        </dl>
      )}
      {care && (
        <>
          <h3>What to look after</h3>
          <p>{kind.care}</p>
        </>
      )}
    </section>
  );
}
