// Pegging whoa-boys down a track: how far the next may be, by the fall of the track.

import { dayOf, distance } from "../../base/words.ts";
import { keyedIn } from "../../survey/levelbook/keyed.ts";
import { number, toMillimetre } from "../../base/number.ts";
import { beyondQuestion, firstQuestion, stepQuestion } from "../../survey/levelbook/jump.ts";
import { ownNameOf } from "../../base/names.ts";
import { placeOf } from "../../base/entry.ts";
import { fieldNamed } from "../../base/kinds.ts";
import { type Params, useField } from "../context/field.ts";
import { Button } from "../../ui/button.tsx";
import { bankOffPlan, bankPlannedWords, nextBankPlanned, plannedOn } from "../../survey/setout/plannedbanks.ts";
import { Choice } from "../../ui/choice.tsx";
import { NearList } from "../part/nearlist.tsx";
import { besideOf, onlyPlanned, tellable } from "../../survey/form/beside.ts";
import { Frame, Opening } from "../../ui/frame.tsx";
import { Caution, Trouble } from "../../ui/panel.tsx";
import { metresBetween } from "../../base/plane.ts";
import { placed } from "../../sensor/fixfields.ts";
import { newID } from "../../base/uuid.ts";
import { lineLengthM } from "../../survey/setout/along.ts";
import { askBank, bankAdvice, bankPegged, farQuestion, gentlest, nextBankName, peggedBank, spacedBy } from "../../survey/setout/banks.ts";
import { dangers, Mind, SightBack } from "../part/cautions.tsx";
import { oldQuestion, type Guide, type Way } from "../../survey/setout/guide.ts";
import { pegsAlong } from "../../survey/setout/pegway.ts";
import { Picked } from "./picked.tsx";
import { PegBox, Reader, Saves } from "./reader.tsx";
import { inWords } from "../../base/problem.ts";
import { calledTable, chosenTable, settingsOf, type Chosen } from "../../survey/setout/settings.ts";
import { useAsked } from "../../compute/useasked.ts";
import { useAim, usePosition } from "./useaim.ts";
import { pegRow, usePegging, type Pegging } from "./usepegging.ts";
import type { Fix } from "../../sensor/fix.ts";

export function WhoaBoyScreen({ params }: { params: Params }) {
  const field = useField();
  const afresh = { down: "", top: "", from: "", along: "", bank: "", lon: "", lat: "" };
  const pegging = usePegging(
    params["book"]!,
    "whoa-boys",
    { reading: "", track: "", ...afresh },
    { box: "track", item: pegsAlong(params["along"], field.features), afresh },
  );
  const { book, typed, set, read, direct, sightM, trouble, pegs } = pegging;
  const at = usePosition(pegs, typed["reading"] ?? "");
  const { fix } = at;
  const aim = useAim(sightM, undefined, read, direct);
  const topM = keyedIn(typed["top"] ?? "");
  const downM = keyedIn(typed["down"] ?? "");
  const chosen = chosenTable(settingsOf(field.features, field.property.id));
  const fall =
    topM !== undefined && aim.levelM !== undefined && downM !== undefined
      ? { topLevelM: topM, hereLevelM: aim.levelM, distanceM: downM }
      : null;
  const beside = besideOf(["track", "fence"], field.features, fix ?? undefined);
  const tracks = beside.map((b) => b.feature);
  const near = tellable(beside, fix ?? undefined);
  const track =
    typed["track"] === "none"
      ? undefined
      : (tracks.find((f) => f.id === typed["track"]) ?? near?.feature ?? onlyPlanned(beside, "track", field.features));
  const topAlongM = track && keyedIn(typed["along"] ?? ""); // of the last level; where nobody taped it no chainage is known
  const planned = track && topM !== undefined ? plannedOn(track.id, field.features) : [];
  const bank =
    typed["bank"] === "none" ? undefined : (planned.find((p) => p.feature.id === typed["bank"]) ?? nextBankPlanned(planned, topAlongM));
  const dueM = bank?.chainageM === undefined || topAlongM === undefined ? undefined : bank.chainageM - topAlongM;
  const ask = fall && chosen && askBank(fall, chosen.spacing);
  const askGentlest = fall && chosen && dueM !== undefined ? askBank(gentlest(fall), chosen.spacing) : null;
  const { output: answer, refused } = useAsked(field.model, "whoa-boys", ask);
  const { output: ofGentlest, refused: noneOfGentlest } = useAsked(field.model, "whoa-boys", askGentlest);
  const heard = answer && (!askGentlest || ofGentlest || noneOfGentlest);
  const advice =
    heard && chosen && downM !== undefined
      ? bankAdvice(answer, downM, calledTable(chosen), dueM === undefined ? undefined : { dueM, answer: ofGentlest })
      : null;
  const name = bank?.name ?? nextBankName(field.features);
  const onTrack = track
    ? `${ownNameOf(track)}${typed["track"] ? "" : near?.awayM !== undefined ? ` (nearest, ${distance(near.awayM)})` : " (the one with a plan)"}`
    : "none";
  if (!book) return <Opening title="Whoa-boys" words="Opening the book…" trouble={trouble} />;

  const alongM = topAlongM === undefined || downM === undefined ? undefined : Math.round((topAlongM + downM) * 1000) / 1000;
  const from = typed["from"] ?? "";
  const shortFrom = from === topWords ? "the top" : from;
  const stand = track ? { feature: track.id, name: ownNameOf(track), spot: "peg" as const } : null;
  const here = fix ? { lon: String(fix.lon), lat: String(fix.lat) } : { lon: "", lat: "" };
  const old = () => pegging.sure("reading", oldQuestion(typed["reading"]!, pegging.keptFrom));
  const onIt = (m: number | undefined) => track && beyondQuestion(m, lineLengthM(placeOf(track)), ownNameOf(track));
  const start = () => {
    if (aim.levelM === undefined) return pegging.take("reading");
    if (!old() || !pegging.sure("along", firstQuestion(topAlongM) ?? onIt(topAlongM))) return;
    void pegging.peg(pegRow(pegging, stand, topAlongM, "Top of the slope"), [], `Top of the slope booked at ${toMillimetre(aim.levelM)}`, {
      top: String(aim.levelM),
      from: topWords,
      track: track?.id ?? typed["track"] ?? "",
      down: "",
      ...here,
    });
  };
  const peg = () => {
    if (aim.levelM === undefined) return pegging.take("reading");
    if (downM === undefined) return pegging.take("down");
    if (!old() || !pegging.sure("down", farQuestion(downM, advice) ?? stepQuestion(downM) ?? onIt(alongM))) return;
    const pegged = {
      run: book.id,
      levelM: aim.levelM,
      downM,
      from,
      slopePct: advice?.slopePct,
      by: advice ? spacedBy(downM, advice) : undefined,
    };
    const told = [track?.id ?? "", alongM, pegged, dayOf(new Date()), fix ? placed(fix) : {}] as const;
    const draft = bank ? { feature: bank.feature.id, set: bankPegged(...told) } : { feature: newID(), set: peggedBank(name, ...told) };
    const row = { ...pegRow(pegging, stand, alongM, name), remark: `taped ${downM} m from ${from}` };
    void pegging.peg(row, [draft], `${name} pegged`, {
      top: String(aim.levelM),
      from: name,
      track: track?.id ?? typed["track"] ?? "",
      along: alongM === undefined ? "" : String(alongM),
      down: "",
      bank: "",
      ...here,
    });
  };
  const none = "No spacing table is chosen for this property yet. Choose one once, and the page can say where the next whoa-boy is due.";
  const rises = topM !== undefined && aim.levelM !== undefined && aim.levelM >= topM;
  const firstWords =
    topM === undefined
      ? "Staff at the top of the slope, or the bank above."
      : read === undefined || downM === undefined
        ? "Go down the track with staff and tape."
        : "";
  const guide: Guide = advice
    ? { state: advice.state === "here" ? "hold" : advice.state === "on" ? "down" : "up", words: advice.words }
    : { state: "none", words: firstWords };
  return (
    <Frame
      title="Whoa-boys"
      under={
        <p class="setup">
          {[!chosen && "No spacing table chosen", topM === undefined ? "From the top of the slope" : `Last level ${toMillimetre(topM)}`]
            .filter(Boolean)
            .join(". ")}
        </p>
      }
    >
      {trouble && <Trouble {...trouble} />}
      {tracks.length > 0 && (
        <Picked
          words={
            <>
              {bank && (
                <>
                  <b>{bank.name}</b>, {bankPlannedWords(bank)}.{" "}
                </>
              )}
              {!bank && planned.length > 0 && "A whoa-boy not in the plan. "}
              <span class="soft">Track</span> {onTrack}
            </>
          }
        >
          {(close) => (
            <>
              {planned.length > 0 && (
                <Choice
                  label="Whoa-boy to peg"
                  required
                  value={bank?.feature.id ?? "none"}
                  of={[
                    ...planned.map((p) => ({ value: p.feature.id, label: `${p.name}, ${bankPlannedWords(p)}` })),
                    { value: "none", label: "A whoa-boy not in the plan" },
                  ]}
                  pick={(bank) => {
                    set({ bank: bank ?? "" });
                    close();
                  }}
                />
              )}
              <Button
                wide
                pressed={!track}
                press={() => {
                  set({ track: "none", along: "" });
                  close();
                }}
              >
                On none
              </Button>
              <NearList
                items={tracks}
                label="Track or fence"
                chosen={track?.id ?? null}
                pick={(f) => {
                  set({ track: f.id, ...(f.id === track?.id ? {} : { along: "" }) });
                  close();
                }}
                at={fix ?? undefined}
              />
            </>
          )}
        </Picked>
      )}
      <Mind of={dangers.track} />
      <Reader
        first={
          !chosen && (
            <a class="button wide" href="#/peg/spacing">
              Choose the spacing table
            </a>
          )
        }
        saves={
          topM === undefined ? (
            <Saves
              word="Top"
              what="the top of the slope"
              more={[
                aim.levelM !== undefined && `level ${toMillimetre(aim.levelM)}`,
                track
                  ? `on ${onTrack}${topAlongM === undefined ? "" : ` at ${topAlongM} m taped from its upper end`}`
                  : tracks.length > 0 && "on no track",
              ]}
            />
          ) : downM === undefined ? (
            <p class="saves">
              <b>Peg</b> needs the distance taped from {shortFrom}: key it.
            </p>
          ) : (
            <Saves
              word="Peg"
              what={`${name} as pegged today`}
              fix={fix}
              more={[
                aim.levelM !== undefined && `level ${toMillimetre(aim.levelM)}`,
                downM !== undefined && `${downM} m from ${shortFrom}`,
                bank && bankOffPlan(bank, alongM),
                bank
                  ? alongM !== undefined && `chainage ${alongM} m taped`
                  : track
                    ? `on ${onTrack}${alongM === undefined ? "" : ` at ${alongM} m from its upper end`}`
                    : tracks.length > 0 && "on no track",
              ]}
            />
          )
        }
        pegging={pegging}
        at={at}
        aim={aim}
        guide={guide}
        way={
          topM === undefined
            ? undefined
            : byPosition(typed, at.now, dueM === undefined || dueM < 0 ? "" : `By the plan: ${number(dueM, 1)} m down from ${shortFrom}.`)
        }
        enter={topM === undefined ? start : peg}
        enterWord={topM === undefined ? "Top" : "Peg"}
      >
        {topM === undefined ? (
          track && <PegBox pegging={pegging} name="along" label={`${fieldNamed("whoa-boy", "chainageM").label}, taped`} />
        ) : (
          <PegBox pegging={pegging} name="down" label={`Taped from ${shortFrom}`} />
        )}
      </Reader>
      {topM !== undefined && (
        <p class={refused ? "checked wrong" : "checked"}>
          {!chosen
            ? none
            : refused
              ? inWords(refused)
              : rises
                ? "The track does not fall from the last level to here, so no whoa-boy is needed here."
                : advice?.why}
        </p>
      )}
      {topM !== undefined && (
        <Button wide press={() => set({ top: "", from: "", along: "", down: "" })}>
          Start at another top
        </Button>
      )}
      <section class="tablechoice" aria-label="Spacing table">
        <p>
          {chosen ? (
            <>
              <span class="soft">Spacing by</span> {tableWords(chosen)}, {chosen.table.source}
            </>
          ) : (
            none
          )}
        </p>
        {chosen?.clash && <Caution>Two phones chose different tables. Choose again to settle it.</Caution>}
        {chosen && (
          <a class="button wide" href="#/peg/spacing">
            Another spacing table
          </a>
        )}
      </section>
      <SightBack />
    </Frame>
  );
}

const topWords = "the top of the slope";

const tableWords = ({ table, spacing }: Chosen): string => [table.label, spacing.soil].filter(Boolean).join(", ");

/** How far down the plan has it, and how far from the last level, where the phone knows both places; the tape decides. */
function byPosition(typed: Pegging["typed"], fix: Fix | null, byPlan: string): Way | undefined {
  if (!fix || !typed["lon"]) return byPlan ? { words: byPlan } : undefined;
  const m = Math.round(metresBetween({ lon: Number(typed["lon"]), lat: Number(typed["lat"]) }, fix));
  const byGPS = `by GPS, ±${Math.max(1, Math.ceil(fix.accuracyM))} m: tape it.`;
  return { words: byPlan ? `${byPlan} Now about ${m} m ${byGPS}` : `About ${m} m from the last level ${byGPS}` };
}
