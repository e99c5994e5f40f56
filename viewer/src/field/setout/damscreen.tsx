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
import { dangers, Mind, SightBack } from "./cautions.tsx";
import { askRise, type Crest, crestsIn, damWords, nextDamName, peggedDam, targetAbove, toeRemark } from "../../survey/setout/dams.ts";
import { askPlace, bedOf, tapedUpTo, wayUp } from "../../survey/setout/nextup.ts";
import { countsFrom } from "../../survey/levelbook/chainage.ts";
import { guide, offQuestion, oldQuestion } from "../../survey/setout/guide.ts";
import { besideOf, tellable } from "../../survey/form/beside.ts";
import { Asked, Picked } from "./picked.tsx";
import { PegBox, Reader, Saves } from "./reader.tsx";
import { useAsked } from "../../compute/useasked.ts";
import { useAim, usePosition } from "./useaim.ts";
import { pegRow, usePegging } from "./usepegging.ts";
import { endWords, lineOf, piecesOf } from "../../survey/setout/lineends.ts";
import { LineZero } from "../part/linezero.tsx";
import { useSection } from "../../item/usesheet.ts";

/** How far off the crest below a toe may stand: a stone's thickness, common practice, no source. */
const toleranceM = 0.05;

export function DamScreen({ params }: { params: Params }) {
  const field = useField();
  const pegging = usePegging(params["book"]!, "dams", { reading: "", height: "0.4", slope: "0", up: "", crest: "", from: "" });
  const { book, levels, typed, set, read, direct, sightM, trouble, pegs } = pegging;
  const at = usePosition(pegs, typed["reading"] ?? "");
  const { fix } = at;
  const crests = useMemo(() => (book && levels ? crestsIn(book.rows, levels, field.features) : []), [book?.rows, levels, field.features]);
  const typedCrestM = keyedIn(typed["crest"] ?? "");
  const lower: Crest | undefined =
    typed["from"] === "none"
      ? undefined
      : typed["from"] === "typed"
        ? typedCrestM === undefined
          ? undefined
          : { feature: "", name: "the crest typed", levelM: typedCrestM, how: "levelled" }
        : (crests.find((c) => c.feature === typed["from"]) ?? crests[0]);
  const slopePct = keyedIn(typed["slope"] ?? "") ?? 0;
  const upM = keyedIn(typed["up"] ?? "");
  const rise = useAsked(field.model, "dam-check", lower ? askRise(lower.levelM, upM, slopePct) : null).output;
  const targetM = !lower ? undefined : slopePct > 0 ? rise && targetAbove(lower.levelM, rise) : lower.levelM;
  const aim = useAim(sightM, targetM ?? undefined, read, direct);
  const told = guide(aim.offM, toleranceM);

  const beside = besideOf(["thalweg"], field.features, fix ?? undefined);
  const thalwegs = beside.map((b) => b.feature);
  const lowerDam = field.features.find((f) => f.id === lower?.feature);
  const ofLower = lowerDam ? textOf(lowerDam, "thalweg") : "";
  const near = tellable(beside, fix ?? undefined);
  const thalweg = typed["gully"] === "none" ? undefined : (thalwegs.find((f) => f.id === (typed["gully"] || ofLower)) ?? near?.feature);
  const heightM = keyedIn(typed["height"] ?? "");
  const gully = useSection(field, thalweg?.id) ?? undefined;
  const bed = useMemo(
    () => (thalweg && book && levels && gully ? bedOf(thalweg.id, book.rows, levels, gully) : []),
    [thalweg, book?.rows, levels, gully],
  );
  const layout = useAsked(field.model, "dam-layout", lower ? askPlace(bed, lower, gully, slopePct) : null).output;
  const [below, next] = layout?.dams ?? [];
  const line = thalweg && placeOf(thalweg);
  const way = lower && below && next && wayUp(next.chainageM - below.chainageM, lower, lowerDam, lineOf(line), gully, at.now);

  if (!book) return <Opening title="Next dam" words="Opening the book…" trouble={trouble} />;
  const chainageM = lower ? tapedUpTo(lower, upM, gully) : keyedIn(typed["chainage"] ?? "");
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
    <Asked words={`Which end of ${ownNameOf(thalweg)}’s line is chainage 0?`}>{() => zero}</Asked>
  ); // above all, once there is a way to tell
  const peg = () => {
    if (aim.levelM === undefined) return pegging.take("reading");
    if (
      !pegging.sure("reading", oldQuestion(typed["reading"]!, pegging.keptFrom)) ||
      !pegging.sure("reading", offQuestion(aim.offM, toleranceM, crestWords(lower)))
    )
      return;
    const alongM = lineLengthM(line);
    if (
      lower
        ? !pegging.sure("up", stepQuestion(upM) ?? beyondQuestion(chainageM, alongM, thalweg ? ownNameOf(thalweg) : ""))
        : !pegging.sure("chainage", firstQuestion(chainageM) ?? beyondQuestion(chainageM, alongM, thalweg ? ownNameOf(thalweg) : ""))
    )
      return;
    const id = newID();
    const name = nextDamName(field.features);
    const draft = {
      feature: id,
      set: peggedDam(
        name,
        { run: book.id, toeLevelM: aim.levelM, heightM, ...(lower ? { below: lower.feature, upM } : {}) },
        thalweg?.id ?? "",
        chainageM,
        dayOf(new Date()),
        fix ? placed(fix) : {},
      ),
    };
    const remark = toeRemark(lower, upM);
    void pegging.peg(
      { ...pegRow(pegging, { feature: id, name, spot: "toe" }, chainageM), ...(remark ? { remark } : {}) },
      [draft],
      `${name} pegged, toe at ${toMillimetre(aim.levelM)}`,
      { from: id, up: "", chainage: "" },
    );
  };
  return (
    <Frame
      title="Next dam toe"
      under={<p class="setup">{lower ? `From ${lower.name}, crest ${toMillimetre(lower.levelM)}` : "The first dam"}</p>}
    >
      {trouble && <Trouble {...trouble} />}
      {lower && ask}
      <Mind of={dangers.gully} />
      {!lower && ask}
      <Picked
        words={
          <>
            <span class="soft">From</span>{" "}
            {lower
              ? `${lower.name}, crest ${toMillimetre(lower.levelM)}${lower.how === "toe and height" ? " (toe and height)" : ""}`
              : "no crest: the first dam"}
          </>
        }
      >
        {(close) => (
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
        )}
      </Picked>
      <Reader
        saves={
          <Saves
            word="Peg"
            what={`${nextDamName(field.features)} as pegged today`}
            fix={fix}
            more={[
              aim.levelM !== undefined && `toe ${toMillimetre(aim.levelM)}`,
              aim.levelM !== undefined && heightM !== undefined && `crest to build to ${toMillimetre(aim.levelM + heightM)}`,
              thalweg
                ? `in ${ownNameOf(thalweg)}${!typed["gully"] && !ofLower && near?.awayM !== undefined ? ` (nearest, ${distance(near.awayM)})` : ""}`
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
        {told.state === "up" && "Up is up the gully: the toe of the next dam stands where the bed has risen to the crest below."}
      </p>
      <Fold title="Height, silt, gully">
        <Choice
          label="Height of the dam to be built"
          required
          of={["0.3", "0.4", "0.5"].map((h) => ({ value: h, label: `${h} m` }))}
          value={typed["height"]}
          pick={(h) => h && set({ height: h })}
        />
        <Choice
          label="Silt behind the dam settles"
          required
          of={[
            { value: "0", label: "level" },
            { value: "0.5", label: "rising 0.5 %" },
            { value: "1", label: "rising 1 %" },
          ]}
          value={typed["slope"]}
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
