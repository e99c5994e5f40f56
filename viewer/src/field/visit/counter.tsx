// Counting ground cover by thumb: two huge buttons, what has been counted, and what it says.

import { useState } from "preact/hooks";
import { dayOf } from "../../base/words.ts";
import { useField } from "../context/field.ts";
import { Button, Row } from "../../ui/button.tsx";
import { Choice } from "../../ui/choice.tsx";
import { Frame } from "../../ui/frame.tsx";
import { NumberInput } from "../../ui/input.tsx";
import { numberIn } from "../../base/number.ts";
import { Caution } from "../../ui/panel.tsx";
import { useAsked } from "../../compute/useasked.ts";
import { hits, isEmpty, type Count, type CountAction } from "../../survey/visit/steppoints.ts";
import { coverInput, coverWords, targets, type Cover } from "../../survey/visit/cover.ts";
import type { Seasons } from "../../survey/visit/season.ts";
import { WetSetting } from "./seasonsetting.tsx";

interface CounterProps {
  readonly count: Count;
  readonly act: (action: CountAction) => void;
  readonly seasons: Seasons;
  readonly change: (seasons: Seasons) => void;
  readonly done: () => void;
}

export function Counter({ count, act, seasons, change, done }: CounterProps) {
  const { output: answer } = useAsked(useField().model, "cover", coverInput(count, dayOf(new Date()), seasons), true);
  const press = (point: "cover" | "bare") => {
    navigator.vibrate?.(15);
    act({ do: "point", point });
  };
  return (
    <Frame
      title="Ground cover"
      back={done}
      actions={
        <>
          {count.way === "points" ? (
            <div class="two">
              <button type="button" class="b-plain huge" onClick={() => press("cover")}>
                Cover
              </button>
              <button type="button" class="b-plain huge" onClick={() => press("bare")}>
                Bare
              </button>
            </div>
          ) : (
            <Plot add={(pct) => act({ do: "plot", pct })} />
          )}
          <Row>
            <Button press={() => act({ do: "undo" })} disabled={isEmpty(count)}>
              Remove last
            </Button>
            <Button rank="main" press={done}>
              Done
            </Button>
          </Row>
        </>
      }
    >
      <Figure count={count} cover={answer} />
      <Choice
        label="Counted by"
        required
        of={[
          { value: "points", label: "Step points" },
          { value: "plots", label: "Plots by eye" },
        ]}
        value={count.way}
        pick={(way) => way && act({ do: "way", way: way as Count["way"] })}
      />
      <Choice
        label="Target at the end of the dry"
        of={targets.map((t) => ({ value: t.value, label: t.label }))}
        hint={targets.find((t) => t.value === seasons.target)?.why}
        value={seasons.target}
        pick={(target) => {
          const { target: _, ...rest } = seasons;
          change(target ? { ...rest, target } : rest);
        }}
      />
      <WetSetting seasons={seasons} change={change} />
      {answer?.cautions.map((c) => (
        <Caution key={c.text}>{c.text}</Caution>
      ))}
    </Frame>
  );
}

function Figure({ count, cover }: { count: Count; cover: Cover | undefined }) {
  const said =
    count.way === "points"
      ? `${hits(count)} of ${count.points.length} points on cover`
      : `${count.plotsPct.length} plots${count.plotsPct.length ? `: ${count.plotsPct.join(", ")} %` : ""}`;
  const words = cover && coverWords(cover);
  return (
    <div class="figure">
      <p class="large">{words ? words.pct : "–"}</p>
      <p>{said}</p>
      {words && <p>{words.limits}</p>}
      {words?.target && <p class="verdict">{words.target}</p>}
    </div>
  );
}

/** One plot judged by eye, in steps of 5: nobody sees finer. */
function Plot({ add }: { add: (pct: number) => void }) {
  const [text, setText] = useState("");
  const pct = numberIn(text);
  const wrong = pct !== undefined && !(pct >= 0 && pct <= 100) ? "Give per cent from 0 to 100." : undefined;
  const put = (to: number) => setText(String(Math.min(100, Math.max(0, to))));
  return (
    <div class="plot">
      <NumberInput label="Cover of this plot" unit="%" value={text} change={setText} wrong={wrong} required />
      <Row>
        <Button press={() => put((pct || 0) - 5)} label="5 less">
          −5
        </Button>
        <Button press={() => put((pct || 0) + 5)} label="5 more">
          +5
        </Button>
        <Button
          press={() => {
            if (pct === undefined || wrong) return;
            add(pct);
            setText("");
          }}
          disabled={pct === undefined || wrong !== undefined}
        >
          Add plot
        </Button>
      </Row>
    </div>
  );
}
