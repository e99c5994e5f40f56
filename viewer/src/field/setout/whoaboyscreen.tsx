// Pegging whoa-boys down a track: how far the next may be, by the fall of the track.

import type { Params } from "../app/screens.ts";
import { today } from "../book/drafts.ts";
import { metres, numberIn } from "../book/reading.ts";
import { stepQuestion } from "../book/jump.ts";
import { nameOf } from "../book/naming.ts";
import { kindOf } from "../entry.ts";
import { useField } from "../field.ts";
import { Button } from "../kit/button.tsx";
import { ItemChooser } from "../list/itemchooser.tsx";
import { Frame } from "../kit/frame.tsx";
import { Caution, Trouble } from "../kit/part.tsx";
import { metresBetween } from "../place/ground.ts";
import { placed } from "../place/record.ts";
import { newID } from "../shelf/uuid.ts";
import { askBank, bankAdvice, nextBankName, peggedBank } from "./banks.ts";
import { Cautions, dangers, Mind, SightBack } from "./cautions.tsx";
import type { Guide } from "./guide.ts";
import { localName } from "./localtable.ts";
import { Saves } from "./saves.tsx";
import { PegBox, Reader } from "./reader.tsx";
import { inWords } from "./refusal.ts";
import { chosenTable, settingsOf, type Chosen } from "./settings.ts";
import { useAim, useAsked, usePosition } from "./useaim.ts";
import { pegRow, usePegging, type Pegging } from "./usepegging.ts";

export function WhoaBoyScreen({ params }: { params: Params }) {
  const field = useField();
  const pegging = usePegging(params["book"]!, "whoa-boys", { reading: "", down: "", top: "", along: "0", track: "", lon: "", lat: "" });
  const { book, typed, set, read, direct, sightM, trouble, pegs } = pegging;
  const fix = usePosition(pegs);
  const aim = useAim(sightM, undefined, read, direct);
  const topM = numberIn(typed["top"] ?? "");
  const downM = numberIn(typed["down"] ?? "");
  const chosen = chosenTable(settingsOf(field.features, field.property.id));
  const by = chosen?.spacing;
  const fall = topM !== undefined && aim.levelM !== undefined && downM !== undefined ? { topLevelM: topM, hereLevelM: aim.levelM, distanceM: downM } : null;
  const { output: answer, refused } = useAsked("whoa-boys", fall && by ? askBank(fall, by) : null);
  const advice = answer && downM !== undefined ? bankAdvice(answer, downM, by?.table === "local" ? localName(by.source) : chosen && `${chosen.table.label} (${chosen.table.source})`) : null;
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
  const none = "No spacing table is chosen for this property yet. Choose one once, and the page can say where the next whoa-boy is due.";
  const rises = topM !== undefined && read !== undefined && aim.levelM !== undefined && aim.levelM >= topM;
  const firstWords = topM === undefined ? "Stand the staff at the top of the slope, or at the whoa-boy above." : read === undefined || downM === undefined ? "Go down the track with staff and tape." : chosen ? "" : "Choose a spacing table first: below.";
  const guide: Guide = advice ? { state: advice.state === "here" ? "hold" : advice.state === "on" ? "down" : "up", words: advice.words } : { state: "none", words: firstWords };
  return (
    <Frame title="Whoa-boys" under={<p class="setup">{[!chosen && "No spacing table chosen", topM === undefined ? "From the top of the slope" : `Last level ${metres(topM)}`].filter(Boolean).join(". ")}</p>}>
      {trouble && <Trouble {...trouble} />}
      <Mind of={dangers.track} />
      <Reader saves={topM === undefined
        ? <Saves word="Top" what="this reading as the top of the slope" more={[aim.levelM !== undefined && `level ${metres(aim.levelM)}`, track && `on ${nameOf(track)}`]} />
        : <Saves word="Peg" what={`${nextBankName(field.features)} as pegged today`} fix={fix} more={[
          aim.levelM !== undefined && `level ${metres(aim.levelM)}`,
          track ? `on ${nameOf(track)}${downM === undefined ? "" : ` at ${along} m taped`}` : tracks.length > 0 && "on no track (choose it below)",
        ]} />} untargeted pegging={pegging} fix={fix} aim={aim} guide={guide} way={topM === undefined ? undefined : byPosition(typed, fix)} enter={topM === undefined ? start : peg} enterWord={topM === undefined ? "Top" : "Peg"}>
        {topM !== undefined && <PegBox pegging={pegging} name="down" label="Taped down" />}
      </Reader>
      {topM !== undefined && <p class={refused ? "checked wrong" : "checked"}>{!chosen ? none : refused ? inWords(refused) : rises ? "The track does not fall from the last level to here, so no whoa-boy is needed here." : advice?.why}</p>}
      {topM !== undefined && <Button wide press={() => set({ top: "", along: "0", down: "" })}>Start at another top</Button>}
      <section class="tablechoice" aria-label="Spacing table">
        <p>{chosen ? <><span class="soft">Spacing by</span> {tableWords(chosen)}, {chosen.table.source}</> : none}</p>
        {chosen?.clash && <Caution>Two phones chose different tables. Choose again to settle it.</Caution>}
        <a class="button wide" href="#/peg/spacing">{chosen ? "Another spacing table" : "Choose the spacing table"}</a>
        {tracks.length > 0 && <ItemChooser label="Track or fence" items={tracks} value={track?.id} pick={(id) => set({ track: id })} none="On none" at={fix ?? undefined} />}
      </section>
      <Cautions of={dangers.track} />
      <SightBack />
    </Frame>
  );
}

const tableWords = ({ table, spacing }: Chosen): string => [table.label, spacing.table === "local" ? undefined : spacing.soil].filter(Boolean).join(", ");

/** How far from the last level, where the phone knows both places; the tape decides. */
function byPosition(typed: Pegging["typed"], fix: ReturnType<typeof usePosition>): string | undefined {
  const lon = Number(typed["lon"] || NaN), lat = Number(typed["lat"] || NaN);
  if (!fix || !Number.isFinite(lon) || !Number.isFinite(lat)) return undefined;
  const m = metresBetween({ lon, lat }, fix);
  return `About ${Math.round(m)} m from the last level by GPS, ±${Math.max(1, Math.ceil(fix.accuracyM))} m: tape it.`;
}
