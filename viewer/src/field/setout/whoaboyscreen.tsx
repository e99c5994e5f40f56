// Pegging whoa-boys down a track: how far the next may be, by the fall of the track.

import type { Params } from "../app/screens.ts";
import { today } from "../book/drafts.ts";
import { metres, numberIn } from "../book/reading.ts";
import { stepQuestion } from "../book/jump.ts";
import { nameOf } from "../book/naming.ts";
import { kindOf } from "../entry.ts";
import { useField } from "../field.ts";
import { Button } from "../kit/button.tsx";
import { Choice } from "../kit/choice.tsx";
import { Frame } from "../kit/frame.tsx";
import { Fold, Trouble } from "../kit/part.tsx";
import { metresBetween } from "../place/ground.ts";
import { placed } from "../place/record.ts";
import { newID } from "../shelf/uuid.ts";
import { askBank, bankAdvice, nextBankName, peggedBank, tables, type Spacing } from "./banks.ts";
import { Cautions, dangers, Mind, SightBack } from "./cautions.tsx";
import type { Guide } from "./guide.ts";
import { localName, wrongWords } from "./localtable.ts";
import { PegBox, Reader } from "./reader.tsx";
import { inWords } from "./refusal.ts";
import { useAim, useAsked, usePosition } from "./useaim.ts";
import { useLocalTable } from "./uselocaltable.ts";
import { pegRow, usePegging, type Pegging } from "./usepegging.ts";

export function WhoaBoyScreen({ params }: { params: Params }) {
  const field = useField();
  const pegging = usePegging(params["book"]!, "whoa-boys", { reading: "", down: "", top: "", along: "0", table: "water-bars-two-soils", soil: "general", track: "", lon: "", lat: "" });
  const { book, typed, set, read, direct, sightM, trouble, pegs } = pegging;
  const fix = usePosition(pegs);
  const aim = useAim(sightM, undefined, read, direct);
  const topM = numberIn(typed["top"] ?? "");
  const downM = numberIn(typed["down"] ?? "");
  const table = tables.find((t) => t.name === typed["table"]) ?? tables[0]!;
  const own = useLocalTable();
  const soil = table.soils.find((s) => s === typed["soil"]) ?? table.soils[0];
  const fall = topM !== undefined && aim.levelM !== undefined && downM !== undefined ? { topLevelM: topM, hereLevelM: aim.levelM, distanceM: downM } : null;
  const by: Spacing | undefined =
    table.name !== "local" ? { table: table.name, soil } : own.rows && { table: "local", rows: own.rows, source: own.table?.source ?? "" };
  const { output: answer, refused } = useAsked("whoa-boys", fall && by ? askBank(fall, by) : null);
  const advice = answer && downM !== undefined ? bankAdvice(answer, downM, by?.table === "local" ? localName(by.source) : undefined) : null;
  const tracks = field.features.filter((f) => !f.struck && (kindOf(f) === "track" || kindOf(f) === "fence"));
  const track = tracks.find((f) => f.id === typed["track"]);
  if (!book) return <Frame title="Whoa-boys">{trouble ? <Trouble {...trouble} /> : <p>Opening the book…</p>}</Frame>;

  const along = (numberIn(typed["along"] ?? "") ?? 0) + (downM ?? 0);
  const stand = track ? { feature: track.id, name: nameOf(track), spot: "peg" as const } : null;
  const here = fix ? { lon: String(fix.lon), lat: String(fix.lat) } : { lon: "", lat: "" };
  const start = () => {
    if (aim.levelM === undefined) return pegging.take("reading");
    void pegging.peg(pegRow(pegging, stand, track ? 0 : undefined, "Top of the slope"), [], `Top of the slope booked at ${metres(aim.levelM)}`, { top: String(aim.levelM), along: "0", down: "", ...here });
  };
  const peg = () => {
    if (aim.levelM === undefined) return pegging.take("reading");
    if (downM === undefined) return pegging.take("down");
    if (!pegging.sure("down", stepQuestion(downM))) return;
    const name = nextBankName(field.features);
    const draft = { feature: newID(), set: peggedBank(name, track?.id ?? "", track ? along : undefined, today(new Date()), fix ? placed(fix) : {}) };
    void pegging.peg(pegRow(pegging, stand, track ? along : undefined, name), [draft], `${name} pegged`, { top: String(aim.levelM), along: String(along), down: "", ...here });
  };
  const noRows = table.name === "local" && own.wrong ? wrongWords(own.wrong) : "";
  const rises = topM !== undefined && read !== undefined && aim.levelM !== undefined && aim.levelM >= topM;
  const firstWords = topM === undefined ? "Stand the staff where water first runs along the track: at its top, or at the bank above." : read === undefined || downM === undefined ? "Go down the track with staff and tape." : "";
  const guide: Guide = advice ? { state: advice.state === "here" ? "hold" : advice.state === "on" ? "down" : "up", words: advice.words } : { state: "none", words: firstWords };
  return (
    <Frame title="Whoa-boys" under={<p class="setup">{table.label}{soil && `, ${soil}`}{topM !== undefined && `; last level ${metres(topM)}`}</p>}>
      {trouble && <Trouble {...trouble} />}
      <Mind of={dangers.track} />
      <Reader untargeted pegging={pegging} fix={fix} aim={aim} guide={guide} way={topM === undefined ? undefined : byPosition(typed, fix)} enter={topM === undefined ? start : peg} enterWord={topM === undefined ? "Top" : "Peg"}>
        {topM !== undefined && <PegBox pegging={pegging} name="down" label="Taped down the track from there" />}
      </Reader>
      {topM !== undefined && <p class={noRows || refused ? "checked wrong" : "checked"}>{noRows ? noRows : refused ? inWords(refused) : rises ? "The track does not fall from the last level to here, so no whoa-boy is needed here." : advice?.why}</p>}
      {topM !== undefined && <Button wide press={() => set({ top: "", along: "0", down: "" })}>Start at another top</Button>}
      <Fold title="Spacing table, track" open={topM === undefined || noRows !== ""}>
        <Choice label="Spacing by" required of={tables.map((t) => ({ value: t.name, label: t.label }))} value={table.name} pick={(t) => t && set({ table: t })} hint="they differ threefold: use the one for your district" />
        {noRows && <p class="wrong">{noRows}</p>}
        {table.name === "local" && <a class="button" href="#/peg/local-table">Rows of the local table</a>}
        {table.soils.length > 0 && <Choice label="Soil or hazard" required of={table.soils.map((s) => ({ value: s, label: s }))} value={soil} pick={(s) => s && set({ soil: s })} />}
        {tracks.length > 0 && <Choice label="Track or fence" of={tracks.map((f) => ({ value: f.id, label: nameOf(f) }))} value={track?.id} pick={(t) => set({ track: t ?? "" })} />}
      </Fold>
      <Cautions of={dangers.track} />
      <SightBack />
    </Frame>
  );
}

/** How far from the last level, where the phone knows both places; the tape decides. */
function byPosition(typed: Pegging["typed"], fix: ReturnType<typeof usePosition>): string | undefined {
  const lon = Number(typed["lon"] || NaN), lat = Number(typed["lat"] || NaN);
  if (!fix || !Number.isFinite(lon) || !Number.isFinite(lat)) return undefined;
  const m = metresBetween({ lon, lat }, fix);
  return `About ${Math.round(m)} m from the last level by GPS, ±${Math.max(1, Math.ceil(fix.accuracyM))} m: tape it.`;
}
