// The notch of a check dam and the rock it takes, from the dam's own fields and what the officer tapes:
// nothing of it is recorded.

import { ToWatch } from "../part/leftout.tsx";
import { useState } from "preact/hooks";
import { type Feature, textOf } from "../../base/entry.ts";
import { ownNameOf } from "../../base/names.ts";
import { numberIn, unbroken } from "../../base/number.ts";
import { inWords, type Problem } from "../../base/problem.ts";
import { useAsked } from "../../compute/useasked.ts";
import {
  askNotch,
  askRock,
  damAsKnown,
  isRock,
  lacking,
  nothingTyped,
  notchWords,
  rockWords,
  type TypedNotch,
} from "../../survey/plan/notch.ts";
import { Frame } from "../../ui/frame.tsx";
import { NumberInput } from "../../ui/input.tsx";
import { Caution, Trouble } from "../../ui/panel.tsx";
import { useField } from "../context/field.ts";
import { dangers, Mind } from "../part/cautions.tsx";

export function NotchPlan({ dam }: { dam: Feature }) {
  const { model } = useField();
  const [typed, setTyped] = useState<TypedNotch>(nothingTyped);
  const ofNotch = askNotch(typed);
  const notch = useAsked(model, "notch", ofNotch);
  const ofRock = askRock(dam, typed, notch.output);
  const rock = useAsked(model, "rock-dam", ofRock);
  const lacks = lacking(dam);
  const box = (name: keyof TypedNotch, label: string, more: { unit?: string; hint?: string; required?: boolean }) => (
    <NumberInput
      label={label}
      value={typed[name]}
      change={(text) => setTyped((was) => ({ ...was, [name]: text }))}
      wrong={Number.isNaN(numberIn(typed[name])) ? "Give a number." : undefined}
      {...more}
    />
  );
  const all = [...(notch.output?.cautions ?? []), ...(rock.output?.cautions ?? [])];
  return (
    <Frame title="Notch and rock" under={<p class="soft">{`Of ${ownNameOf(dam)}`}</p>}>
      {damAsKnown(dam) && <p>{unbroken(damAsKnown(dam))}</p>}
      {lacks.length > 0 && (
        <Caution>
          {`Still to fill in: ${lacks.join(", ")}.`}
          <a class="button wide" href={`#/thing/${dam.id}/edit`}>
            Edit the dam
          </a>
        </Caution>
      )}
      {box("flow", "Peak flow", { unit: "m³/s", required: true, hint: "over the dam, as Peak flow of a gully head gives it" })}
      {box("length", "Length of the notch", { unit: "m", required: true, hint: "of its level bottom, across the gully" })}
      {box("bottom", "Width of the gully's bottom", { unit: "m", hint: "at the dam" })}
      {textOf(dam, "status") === "built" && box("ends", "Lower end above the bottom of the notch", { unit: "m", hint: "as taped" })}
      {ofNotch ? (
        <Answer words={notch.output && notchWords(notch.output)} refused={notch.refused} />
      ) : (
        <p>Give the peak flow and the length of the notch.</p>
      )}
      <h2>Rock and apron</h2>
      {isRock(dam) ? (
        <>
          {box("breadth", "Breadth of the dam at its ends", { unit: "m", hint: "along the stream, 0.2 m and more", required: true })}
          {box("upstream", "Upstream face, 1 in", { hint: "run for a rise of 1", required: true })}
          {box("downstream", "Downstream face, 1 in", { hint: "run for a rise of 1", required: true })}
          {ofRock ? (
            <Answer words={rock.output && rockWords(rock.output)} refused={rock.refused} />
          ) : (
            <p>For the rock give the width of the gully's bottom, the breadth of the dam and the slopes of its faces.</p>
          )}
        </>
      ) : (
        <p>Rock and apron are calculated for a dam of loose rock.</p>
      )}
      <Mind of={dangers.gully} />
      <ToWatch of={all.filter((c, i) => all.findIndex((other) => other.text === c.text) === i)} />
      <a class="button wide" href={`#/thing/${dam.id}`}>
        {`Back to ${ownNameOf(dam)}`}
      </a>
    </Frame>
  );
}

function Answer({ words, refused }: { words: readonly string[] | undefined; refused: Problem | undefined }) {
  if (refused) return <Trouble what={inWords(refused)} />;
  return (
    <div role="status" class="stack">
      {words?.map((one, i) => (
        <p key={i}>{i === 0 ? <b>{unbroken(one)}</b> : unbroken(one)}</p>
      ))}
    </div>
  );
}
