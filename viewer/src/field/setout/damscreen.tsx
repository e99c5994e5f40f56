// Pegging check dams up a gully: the next toe level with the crest below.

import { useMemo } from "preact/hooks";
import { fieldNamed } from "../../base/kinds.ts";
import { dayOf, distance } from "../../base/words.ts";
import { keyedIn } from "../../survey/levelbook/keyed.ts";
import { toMillimetre } from "../../base/number.ts";
import { beyondQuestion, firstQuestion, stepQuestion } from "../../survey/levelbook/jump.ts";
import { ownNameOf } from "../../base/names.ts";
import { placeOf, textOf } from "../../base/entry.ts";
import { type Params, useField } from "../context/field.ts";
import { ItemChooser } from "../part/itemchooser.tsx";
import { Choice } from "../../ui/choice.tsx";
import { Frame, Opening } from "../../ui/frame.tsx";
import { Fold, Trouble } from "../../ui/panel.tsx";
import { placed } from "../../sensor/fixfields.ts";
import { newID } from "../../base/uuid.ts";
import { lineLengthM } from "../../survey/setout/along.ts";
import { dangers, Mind, SightBack } from "../part/cautions.tsx";
import { askRise, type Crest, crestsIn, damWords, nextDamName, peggedDam, targetAbove, toeRemark } from "../../survey/setout/dams.ts";
import { askPlace, bedOf, tapedUpTo, wayUp } from "../../survey/setout/nextup.ts";
import { countsFrom, upOrBooked } from "../../survey/levelbook/chainage.ts";
import {
  nextPlanned,
  offPlan,
  offPlanQuestion,
  plannedIn,
  plannedPegged,
  plannedSlope,
  plannedWords,
  standsApart,
  stepTo,
  wayToPlanned,
} from "../../survey/setout/planneddams.ts";
import { guide, offQuestion, oldQuestion } from "../../survey/setout/guide.ts";
import { besideOf, onlyPlanned, tellable } from "../../survey/form/beside.ts";
import { Asked, Picked } from "./picked.tsx";
import { PegBox, Reader, Saves } from "./reader.tsx";
import { useAsked } from "../../compute/useasked.ts";
import { useAim, usePosition } from "./useaim.ts";
import { pegRow, usePegging } from "./usepegging.ts";
import { endWords, lineOf, piecesOf } from "../../survey/setout/lineends.ts";
import { pegsAlong } from "../../survey/setout/pegway.ts";
import { LineZero } from "../part/linezero.tsx";
import { useSection } from "../../item/usesheet.ts";

/** How far off the crest below a toe may stand: a stone's thickness, common practice, no source. */
const toleranceM = 0.05;

export function DamScreen({ params }: { params: Params }) {
  const field = useField();
  const pegging = usePegging(
    params["book"]!,
    "dams",
    { reading: "", height: "", slope: "", up: "", crest: "", from: "", dam: "" },
    {
      ...{ box: "gully", item: pegsAlong(params["along"], field.features) },
      afresh: { height: "", slope: "", up: "", from: "", dam: "", chainage: "" },
    },
  );
  const { book, levels, typed, set, read, direct, sightM, trouble, pegs } = pegging;
  const at = usePosition(pegs, typed["reading"] ?? "");
  const { fix } = at;
  const crests = useMemo(() => (book && levels ? crestsIn(book.rows, levels, field.features) : []), [book?.rows, levels, field.features]);
  const isElsewhere = ({ feature }: Crest) => {
    const gully = textOf(field.features.find((f) => f.id === feature)!, "thalweg");
    return gully !== "" && pegging.along !== undefined && pegging.along.id === typed["gully"] && gully !== pegging.along.id;
  };
  const typedCrestM = keyedIn(typed["crest"] ?? "");
  const lower: Crest | undefined =
    typed["from"] === "none"
      ? undefined
      : typed["from"] === "typed"
        ? typedCrestM === undefined
          ? undefined
          : { feature: "", name: "the crest typed", levelM: typedCrestM, how: "levelled" }
        : (crests.find((c) => c.feature === typed["from"]) ?? crests.find((c) => !isElsewhere(c)));
  const upM = keyedIn(typed["up"] ?? "");
  const beside = besideOf(["thalweg"], field.features, fix ?? undefined);
  const thalwegs = beside.map((b) => b.feature);
  const lowerDam = field.features.find((f) => f.id === lower?.feature);
  const ofLower = lowerDam ? textOf(lowerDam, "thalweg") : "";
  const near = tellable(beside, fix ?? undefined);
  const thalweg =
    typed["gully"] === "none"
      ? undefined
      : (thalwegs.find((f) => f.id === (typed["gully"] || ofLower)) ?? near?.feature ?? onlyPlanned(beside, "thalweg", field.features));
  const gully = useSection(field, thalweg?.id) ?? undefined;
  const planned = thalweg ? plannedIn(thalweg.id, field.features, gully) : [];
  const dam =
    typed["dam"] === "none" ? undefined : (planned.find((p) => p.feature.id === typed["dam"]) ?? nextPlanned(planned, lower, gully));
  const height = typed["height"] || String(dam?.heightM ?? 0.4);
  const heightM = keyedIn(height);
  const slope = typed["slope"] || (plannedSlope(dam, field.features) ?? "0");
  const slopePct = keyedIn(slope) ?? 0;

  const byPlan = dam && standsApart(dam, planned, lower, lowerDam, gully, slopePct);
  const rise = useAsked(field.model, "dam-check", lower && !byPlan ? askRise(lower.levelM, upM, slopePct) : null).output;
  const crestM = !lower ? undefined : slopePct > 0 ? rise && targetAbove(lower.levelM, rise) : lower.levelM;
  const aim = useAim(sightM, byPlan ? dam.toeM : crestM, read, direct);
  const told = guide(aim.offM, toleranceM);

  const bed = useMemo(
    () => (thalweg && book && levels && gully ? bedOf(thalweg.id, book.rows, levels, gully) : []),
    [thalweg, book?.rows, levels, gully],
  );
  const layout = useAsked(field.model, "dam-layout", lower && !byPlan ? askPlace(bed, lower, gully, slopePct) : null).output;
  const [below, next] = layout?.dams ?? [];
  const line = thalweg && placeOf(thalweg);
  const stepM = dam && lower ? stepTo(dam, lower, gully) : undefined;
  const way =
    lower && below && next
      ? wayUp(next.chainageM - below.chainageM, lower, lowerDam, lineOf(line), gully, at.now)
      : lower && stepM !== undefined && stepM > 0
        ? wayUp(stepM, lower, lowerDam, lineOf(line), gully, at.now, "the plan")
        : dam && wayToPlanned(dam, thalweg, at.now);

  if (!book) return <Opening title="Next dam" words="Opening the book…" trouble={trouble} />;
  const chainageM = lower ? tapedUpTo(lower, upM, gully) : keyedIn(typed["chainage"] ?? "");
  const hereUpM = chainageM === undefined ? undefined : upOrBooked(chainageM, gully);
  const name = dam?.name ?? nextDamName(field.features);
  const from = countsFrom(gully);
  const counts = from && ` ${from}`;
  const pieces = piecesOf(line);
  const zero = thalweg && pieces && (
    <LineZero
      pieces={pieces}
      label={fieldNamed("thalweg", "chainageZero").label}
      value={textOf(thalweg, "chainageZero")}
      here={at.now}
      required
      pick={(end) =>
        end &&
        void pegging.record(
          [{ feature: thalweg.id, set: { chainageZero: end } }],
          `${ownNameOf(thalweg)}: chainage 0 is at its ${endWords(end, line)}`,
        )
      }
    />
  );
  const ask = thalweg && gully?.zeroUnknown && (
    <Asked words={`Which end of ${ownNameOf(thalweg)}'s line is chainage 0?`}>{() => zero}</Asked>
  );
  const peg = () => {
    if (aim.levelM === undefined) return pegging.take("reading");
    if (
      !pegging.sure("reading", oldQuestion(typed["reading"]!, pegging.keptFrom)) ||
      !pegging.sure("reading", offQuestion(aim.offM, toleranceM, byPlan ? "the plan's toe" : crestWords(lower))) ||
      !pegging.sure("reading", byPlan ? undefined : offPlanQuestion(dam, aim.levelM))
    )
      return;
    const alongM = lineLengthM(line);
    if (
      lower
        ? !pegging.sure("up", stepQuestion(upM) ?? beyondQuestion(chainageM, alongM, thalweg ? ownNameOf(thalweg) : ""))
        : !pegging.sure("chainage", firstQuestion(chainageM) ?? beyondQuestion(chainageM, alongM, thalweg ? ownNameOf(thalweg) : ""))
    )
      return;
    const id = dam?.feature.id ?? newID();
    const by = { run: book.id, toeLevelM: aim.levelM, heightM, ...(lower ? { below: lower.feature, upM } : {}) };
    const day = dayOf(new Date());
    const place = fix ? placed(fix) : {};
    const set = dam ? plannedPegged(dam, by, chainageM, day, place) : peggedDam(name, by, thalweg?.id ?? "", chainageM, day, place);
    const remark = toeRemark(lower, upM);
    void pegging.peg(
      { ...pegRow(pegging, { feature: id, name, spot: "toe" }, chainageM), ...(remark ? { remark } : {}) },
      [{ feature: id, set }],
      `${name} pegged, toe at ${toMillimetre(aim.levelM)}`,
      { from: id, up: "", chainage: "", dam: "", ...(dam ? { height: "" } : {}) }, // another height was for this one
    );
  };
  return (
    <Frame
      title="Next dam toe"
      under={
        <p class="setup">
          {lower
            ? `From ${lower.name}, crest ${toMillimetre(lower.levelM)}`
            : dam
              ? `In ${ownNameOf(thalweg!)}, by the plan`
              : "The first dam"}
        </p>
      }
    >
      {trouble && <Trouble {...trouble} />}
      <Picked
        words={
          <>
            {dam && (
              <>
                <b>{dam.name}</b>, {plannedWords(dam)}.{" "}
              </>
            )}
            {!dam && planned.length > 0 && "A dam not in the plan. "}
            <span class="soft">From</span>{" "}
            {lower
              ? `${lower.name}, crest ${toMillimetre(lower.levelM)}${lower.how === "toe and height" ? " (toe and height)" : ""}`
              : dam
                ? "no crest"
                : "no crest: the first dam"}
          </>
        }
      >
        {(close) => (
          <>
            {planned.length > 0 && (
              <Choice
                label="Dam to peg"
                required
                value={dam?.feature.id ?? "none"}
                of={[
                  ...planned.map((p) => ({ value: p.feature.id, label: `${p.name}, ${plannedWords(p)}` })),
                  { value: "none", label: "A dam not in the plan" },
                ]}
                pick={(dam) => {
                  set({ dam: dam ?? "" });
                  close();
                }}
              />
            )}
            <Choice
              label="Crest of the dam below"
              required
              value={typed["from"] === "none" || typed["from"] === "typed" ? typed["from"] : (lower?.feature ?? "none")}
              of={[
                ...crests.map((c) => ({ value: c.feature, label: `${c.name}, ${toMillimetre(c.levelM)}` })),
                { value: "typed", label: "Type its level" },
                { value: "none", label: "This is the first dam" },
              ]}
              pick={(from) => {
                set({ from: from ?? "" });
                close();
                if (from === "typed") pegging.take("crest");
              }}
            />
          </>
        )}
      </Picked>
      <Mind of={dangers.gully} />
      {ask}
      <Reader
        saves={
          <Saves
            word="Peg"
            what={`${name} as pegged today`}
            fix={fix}
            more={[
              aim.levelM !== undefined && `toe ${toMillimetre(aim.levelM)}`,
              dam && offPlan(dam, aim.levelM, hereUpM),
              aim.levelM !== undefined && heightM !== undefined && `crest to build to ${toMillimetre(aim.levelM + heightM)}`,
              thalweg
                ? !dam &&
                  `in ${ownNameOf(thalweg)}${!typed["gully"] && !ofLower && near?.awayM !== undefined ? ` (nearest, ${distance(near.awayM)})` : ""}`
                : thalwegs.length > 0 && "in no gully (choose it below)",
              lower && upM !== undefined && `${upM} m up from ${damWords(lower)}`,
              chainageM !== undefined && `chainage ${chainageM} m taped${counts}`,
            ]}
          />
        }
        pegging={pegging}
        at={at}
        aim={aim}
        guide={told}
        way={way}
        enter={peg}
        enterWord="Peg"
      >
        {typed["from"] === "typed" && <PegBox pegging={pegging} name="crest" label="Level of the crest below" />}
        {lower && (slopePct > 0 || !ask || typed["up"] !== "" || pegging.box === "up") && (
          <PegBox
            pegging={pegging}
            name="up"
            label={`Taped up from the toe of ${damWords(lower)}`}
            note={slopePct > 0 && upM === undefined ? "the level wanted rises with it" : undefined}
          />
        )}
        {!lower && <PegBox pegging={pegging} name="chainage" label={`Chainage, taped${counts}`} />}
      </Reader>
      <p class="soft note held">
        {told.state === "up" &&
          "Up is up the gully: the toe of the next dam stands where the bed has risen to " +
            (byPlan ? "the plan's level." : "the crest below.")}
      </p>
      <Fold title="Height, silt, gully">
        <Choice
          label="Height of the dam to be built"
          required
          of={offered(["0.3", "0.4", "0.5"], height).map((h) => ({ value: h, label: `${h} m` }))}
          value={height}
          pick={(h) => h && set({ height: h })}
        />
        <Choice
          label="Silt behind the dam settles"
          required
          of={offered(["0", "0.5", "1"], slope).map((pct) => ({ value: pct, label: pct === "0" ? "level" : `rising ${pct} %` }))}
          value={slope}
          pick={(s) => s !== undefined && set({ slope: s })}
        />
        {thalwegs.length > 0 && (
          <ItemChooser
            label="Gully"
            items={thalwegs}
            value={thalweg?.id}
            pick={(gully) => set({ gully: gully || "none" })}
            none="In no gully"
            at={fix ?? undefined}
          />
        )}
        {gully && !gully.zeroUnknown && zero}
      </Fold>
      <SightBack />
    </Frame>
  );
}

/** Whose level is called for, in a question. */
const crestWords = (lower: Crest | undefined): string =>
  !lower ? "the level wanted" : lower.feature ? `${lower.name}'s crest` : lower.name;

/** What can be chosen, and what a plan has beside. */
const offered = (usual: readonly string[], planned: string): readonly string[] =>
  usual.includes(planned) ? usual : [...usual, planned].sort((a, b) => Number(a) - Number(b));
