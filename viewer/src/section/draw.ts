// Drawing of a long section to scale: every place on the paper worked out from chainage
// and level. Pure, so that the scale can be tested without a page.

import type { Section, SectionDam, SectionPair } from "./section.ts";
import { shortened } from "../base/item.ts";
import { number } from "../base/number.ts";

export interface Paper {
  widthPx: number;
  fontPx: number;
  /** How tall the bed may be drawn, in heights of a letter. */
  tallest?: number;
  /** Decimals of the steps that are written beside faults. */
  decimals?: number;
}

export interface Tick {
  at: number;
  text: string;
}

/** What is planned is drawn in outline, with a thin line of silt. */
export const isPlanned = (d: SectionDam): boolean => d.status === "proposed" || d.status === "pegged";

/**
 * A level of it that no closed level run checks yet: it is dashed, planned or built, as such a bed is.
 * Dashes say nothing else; a crest that nobody levelled is said in words.
 */
export const isUnchecked = (d: SectionDam): boolean => d.basis !== "levelled" && (d.toeLevelM !== undefined || d.crestLevelM !== undefined);

/** Whether it is drawn with a height; a dam whose height is not known is a circle. */
const hasHeight = (d: SectionDam): boolean => d.crestLevelM !== undefined || !!d.heightM;

/** Whether anything of it is dashed. */
export const isDashed = (s: Section): boolean => !s.proven || s.dams.some((d) => isUnchecked(d) && hasHeight(d));

/** The dams that stand and whose crest is not levelled: those drawn as high as they were planned, and as measured by hand. */
export function crestsNotLevelled(s: Section): { planned: readonly SectionDam[]; byHand: readonly SectionDam[] } {
  const all = s.dams.filter((d) => !isPlanned(d) && d.crestLevelM === undefined && d.heightM);
  return { planned: all.filter((d) => d.heightPlanned), byHand: all.filter((d) => !d.heightPlanned) };
}

export interface DrawnDam {
  id: string;
  name: string;
  x: number;
  toeY: number;
  crestY: number;
  thickness: number;
  dashed: boolean;
  status: string;
  /** Where the bed is under or over a toe that is off it; undefined for a dam that agrees with the bed. */
  offBedY?: number | undefined;
}

/** The crest of a dam drawn upstream, as far as water or silt would reach behind it. */
export interface DrawnLine {
  dam: string;
  x1: number;
  x2: number;
  y: number;
  dashed: boolean;
  thin: boolean;
}

export interface Label {
  x: number;
  y: number;
  text: string;
  leader: { x: number; y: number }; // where its leader line ends: on what it names
}

export interface DrawnFault {
  kind: "gap" | "drowned";
  band: { x: number; width: number };
  x: number;
  fromX: number; // end of the lower dam's crest line; from here to x the step is measured
  y1: number; // crest of the lower dam
  y2: number; // toe of the upper dam
  label: Label;
}

export interface Drawing {
  width: number;
  height: number;
  fontPx: number;
  plot: { left: number; right: number; top: number; bottom: number };
  exaggeration: number;
  bed: string;
  ground: string;
  dams: DrawnDam[];
  crests: DrawnLine[];
  faults: DrawnFault[];
  names: Label[];
  xTicks: Tick[];
  yTicks: Tick[];
}

const exaggerations = [1, 2, 3, 4, 5, 8, 10, 15, 20, 25, 30, 40, 50, 75, 100, 150, 200, 300, 500];

/** A section that can be drawn has two places on its bed, apart. */
export function canDraw(s: Section): boolean {
  const first = s.bed[0];
  return !!first && s.bed.some((b) => b.chainageM !== first.chainageM);
}

const letter = 0.64; // the width of a digit, in widths of the type

export function draw(s: Section, paper: Paper): Drawing {
  const f = paper.fontPx;
  const bed = [...s.bed].sort((a, b) => a.chainageM - b.chainageM);
  const dams = [...s.dams].sort((a, b) => a.chainageM - b.chainageM);
  const bedAt = interpolator(bed);
  const { toeOf, crestOf } = levelsOf(bedAt);
  const { from, to } = stretch(s);
  const levels = [...bed.map((b) => b.levelM), ...dams.flatMap((d) => [toeOf(d), crestOf(d)])];
  const low = Math.min(...levels);
  const high = Math.max(...levels);

  const finest = ticks(low, high, 10).map((t) => t.text.length); // of the tallest drawing: the scale is not known yet
  const left = Math.max(f * 3.4, Math.max(0, ...finest) * letter * f + 10);
  const right = paper.widthPx - f * 0.9;
  const pxPerM = (right - left) / (to - from);
  const exaggeration = pickExaggeration((high - low) * pxPerM, Math.min(f * (paper.tallest ?? 20), (right - left) * 0.85));
  const pxPerLevel = pxPerM * exaggeration;
  const x = (chainageM: number) => left + (chainageM - from) * pxPerM;

  const faults = s.pairs.filter((p) => p.stepM !== undefined && (p.verdict === "gap" || p.verdict === "drowned" || humpOf(p)));
  const nameRows = rowsFor(
    dams.map((d) => ({ x: x(d.chainageM), text: shortened(d.name ?? "", 14) + (d.disagrees ? " ?" : "") })),
    f * 0.58,
    left,
    right,
    4,
  );
  const faultTexts = faults.map((p) => {
    const upper = dams.find((d) => d.id === p.upper);
    return {
      x: x(humpOf(p)?.chainageM ?? upper?.chainageM ?? from),
      text: `${p.verdict === "drowned" ? "drowned toe" : p.verdict} ${number(humpOf(p)?.aboveM ?? Math.abs(p.stepM ?? 0), paper.decimals ?? 2)} m`,
    };
  });
  const faultRows = rowsFor(faultTexts, f * 0.68, left, right, 6);

  const top = f * (0.6 + 1.35 * nameRows.count) + f * 0.8;
  const y = (levelM: number) => top + (high - levelM) * pxPerLevel;
  const bedBottom = y(low);
  const bottom = bedBottom + f * (0.9 + 1.4 * faultRows.count);
  const height = bottom + f * 3.2;

  const bedPoints = bed.map((b) => `${place(x(b.chainageM))} ${place(y(b.levelM))}`);
  const drawnDams = dams.map(
    (d): DrawnDam => ({
      id: d.id,
      name: d.name ?? "",
      x: x(d.chainageM),
      toeY: y(toeOf(d)),
      crestY: y(crestOf(d)),
      thickness: Math.max(5, Math.min(12, f * 0.45)),
      dashed: isUnchecked(d),
      status: d.status ?? "",
      offBedY: d.disagrees ? y(bedAt(d.chainageM)) : undefined,
    }),
  );

  const crests: DrawnLine[] = [];
  const reaches = silted(s);
  for (const d of dams) {
    const reach = reaches.get(d.id);
    if (reach !== undefined)
      crests.push({ dam: d.id, x1: x(d.chainageM), x2: x(reach), y: y(crestOf(d)), dashed: isUnchecked(d), thin: isPlanned(d) });
  }

  const drawnFaults: DrawnFault[] = [];
  faults.forEach((p, i) => {
    const lower = dams.find((d) => d.id === p.lower);
    const upper = dams.find((d) => d.id === p.upper);
    const row = faultRows.placed[i];
    if (!lower || !upper || !row || lower.crestLevelM === undefined) return;
    const hump = humpOf(p);
    const toeY = y(hump ? lower.crestLevelM + hump.aboveM : toeOf(upper));
    const at = x(hump?.chainageM ?? upper.chainageM);
    drawnFaults.push({
      kind: p.verdict === "drowned" ? "drowned" : "gap",
      band: { x: x(lower.chainageM), width: (upper.chainageM - lower.chainageM) * pxPerM },
      x: at,
      fromX: crests.find((c) => c.dam === lower.id)?.x2 ?? x(lower.chainageM),
      y1: y(lower.crestLevelM),
      y2: toeY,
      label: {
        x: row.x,
        y: bedBottom + f * (1.6 + 1.4 * row.row),
        text: row.text,
        leader: { x: at, y: Math.max(toeY, y(lower.crestLevelM)) },
      },
    });
  });

  const names = nameRows.placed.flatMap((row, i): Label[] => {
    const dam = drawnDams[i];
    if (!dam || !row?.text) return [];
    const leader = { x: dam.x + dam.thickness / 4, y: dam.crestY }; // the middle of its crest
    return [{ x: row.x, y: f * (1.1 + 1.35 * row.row), text: row.text, leader }];
  });

  return {
    width: paper.widthPx,
    height,
    fontPx: f,
    plot: { left, right, top, bottom },
    exaggeration,
    bed: `M${bedPoints.join("L")}`,
    ground: `M${place(x(bed[0]?.chainageM ?? from))} ${place(bottom)}L${bedPoints.join("L")}L${place(x(bed[bed.length - 1]?.chainageM ?? to))} ${place(bottom)}Z`,
    dams: drawnDams,
    crests,
    faults: drawnFaults,
    names,
    xTicks: ticks(from, to, (right - left) / (f * 4.2)).map((t) => ({ at: x(t.value), text: t.text })),
    yTicks: ticks(low, high, Math.max(2, (bedBottom - top) / (f * 2))).map((t) => ({ at: y(t.value), text: t.text })),
  };
}

/** The stretch of the gully that is drawn: distances up it of its ends, in metres. */
export function stretch({ bed, dams }: Section): { from: number; to: number } {
  const chainages = [...bed, ...dams].map((place) => place.chainageM);
  return { from: Math.min(...chainages), to: Math.max(...chainages) };
}

/** How far up the gully the line drawn upstream of a dam's crest reaches, in metres, by the dam's id; dams without such a line are left out. */
export function silted(s: Section): Map<string, number> {
  const bed = [...s.bed].sort((a, b) => a.chainageM - b.chainageM);
  const { toeOf, crestOf } = levelsOf(interpolator(bed));
  const { to } = stretch(s);
  // From a wrong level or place nothing reaches anywhere.
  const holding = s.dams.filter((d) => d.status !== "failed" && d.status !== "removed").sort((a, b) => a.chainageM - b.chainageM);
  return new Map(
    holding.flatMap((d, i): [string, number][] => {
      if (crestOf(d) <= toeOf(d) || d.disagrees) return [];
      return [[d.id, Math.min(holding[i + 1]?.chainageM ?? to, whereBedReaches(bed, d.chainageM, crestOf(d)) ?? to)]];
    }),
  );
}

function levelsOf(bedAt: (chainageM: number) => number) {
  const toeOf = (d: SectionDam) => d.toeLevelM ?? bedAt(d.chainageM);
  return { toeOf, crestOf: (d: SectionDam) => d.crestLevelM ?? toeOf(d) + (d.heightM ?? 0) };
}

/** Rounded for the page: a hundredth of a pixel is below any line's width. */
export function place(px: number): string {
  return String(Math.round(px * 100) / 100);
}

export function pickExaggeration(trueHeightPx: number, roomPx: number): number {
  const fitting = exaggerations.filter((e) => e * trueHeightPx <= roomPx);
  return fitting[fitting.length - 1] ?? 1;
}

function interpolator(bed: Section["bed"]): (chainageM: number) => number {
  return (c) => {
    const after = bed.findIndex((b) => b.chainageM >= c);
    const b = bed[after === -1 ? bed.length - 1 : after];
    const a = bed[after === -1 ? bed.length - 1 : Math.max(0, after - 1)];
    if (!a || !b) return 0;
    const run = b.chainageM - a.chainageM;
    return run === 0 ? b.levelM : a.levelM + ((b.levelM - a.levelM) * (c - a.chainageM)) / run;
  };
}

/** The first chainage upstream of `from` where the bed rises to the level. */
function whereBedReaches(bed: Section["bed"], from: number, levelM: number): number | null {
  for (const [i, b] of bed.entries()) {
    const a = bed[i - 1];
    if (!a || b.chainageM <= from || b.levelM < levelM) continue;
    const run = b.chainageM - a.chainageM;
    const at = a.levelM >= levelM ? a.chainageM : a.chainageM + (run * (levelM - a.levelM)) / (b.levelM - a.levelM);
    return Math.max(from, at);
  }
  return null;
}

interface Placed {
  x: number;
  row: number;
  text: string;
}

/** Puts texts on the first row where they do not touch; those that find none are left out. */
function rowsFor(
  texts: { x: number; text: string }[],
  letterPx: number,
  left: number,
  right: number,
  most: number,
): { placed: (Placed | null)[]; count: number } {
  const ends: number[] = [];
  const placed = texts.map(({ x, text }): Placed | null => {
    if (!text) return null;
    const half = (Array.from(text).length * letterPx) / 2;
    const middle = Math.min(Math.max(x, left + half), Math.max(right - half, left + half));
    for (let row = 0; row < most; row++) {
      if (middle - half >= (ends[row] ?? -Infinity)) {
        ends[row] = middle + half + letterPx;
        return { x: middle, row, text };
      }
    }
    return null;
  });
  return { placed, count: Math.max(1, ends.length) };
}

/** Round numbers between two values, at most so many. */
export function ticks(from: number, to: number, most: number): { value: number; text: string }[] {
  const span = to - from;
  if (!(span > 0)) return [{ value: from, text: number(from, 2) }];
  const rough = span / Math.max(1, most);
  const power = 10 ** Math.floor(Math.log10(rough));
  const step = ([1, 2, 5, 10].find((n) => n * power >= rough) ?? 10) * power;
  const decimals = Math.max(0, -Math.floor(Math.log10(step) + 1e-9));
  const out: { value: number; text: string }[] = [];
  for (let i = Math.ceil(from / step - 1e-9); i * step <= to + step * 1e-9; i++) {
    out.push({ value: i * step, text: number(i * step, decimals) });
  }
  return out;
}

/** The hump that a pair is judged by, drawn where it stands. */
const humpOf = (p: SectionPair) => (p.verdict === "hump" ? p.hump : undefined);
