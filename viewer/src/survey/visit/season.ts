// The wet season, after which works are looked at. Which months it has depends on where the
// land lies, so it is a setting; November to April is that of the dry tropics' grazing
// country (common practice, no source).

import { dayOf, monthNames } from "../../base/words.ts";

export interface Months {
  readonly firstMonth: number; // January is 1
  readonly lastMonth: number; // included; before the first for a season over the new year
}

export const usualWet: Months = { firstMonth: 11, lastMonth: 4 };

/** How the wet and the dry lie here, and how often photos are taken again. */
export interface Seasons {
  /** As the officer chose it. Until she does, what is due is listed by the usual one, and nothing measured is judged by it. */
  readonly wet?: Months;
  readonly retakeMonths: number;
  readonly sure?: true; // the wet season was chosen, by a version that knows the difference
  readonly target?: string; // of ground cover, by the name package model has for it
}

export const usualSeasons: Seasons = { retakeMonths: 12 };
export const seasonsKey = "seasons";

/** What the phone has kept: earlier versions wrote the usual months beside whatever else was chosen. */
export function chosenSeasons(kept: Seasons | undefined): Seasons {
  if (!kept) return usualSeasons;
  const { wet, ...rest } = kept;
  const chosen = wet && (kept.sure || wet.firstMonth !== usualWet.firstMonth || wet.lastMonth !== usualWet.lastMonth);
  return chosen ? { ...rest, wet } : rest;
}

/** The months of the year that are not in a season. */
export function otherMonths(season: Months): Months {
  return { firstMonth: (season.lastMonth % 12) + 1, lastMonth: ((season.firstMonth + 10) % 12) + 1 };
}

/** The first day after the newest season that has ended by a day, as "2026-05-01". */
export function lastEnded(today: string, season: Months): string {
  const [year, month] = today.split("-").map(Number) as [number, number, number];
  const after = (season.lastMonth % 12) + 1; // the month that follows the season
  return `${String(after <= month ? year : year - 1).padStart(4, "0")}-${String(after).padStart(2, "0")}-01`;
}

export const monthWord = (month: number): string => monthNames[(((month - 1) % 12) + 12) % 12]!;

export const seasonWords = (s: Months): string => `${monthWord(s.firstMonth)} to ${monthWord(s.lastMonth)}`;

/** The same day of the month some months later, or earlier; held to that month's last day. */
export function monthsOn(day: string, by: number): string {
  const [year, month, date] = day.split("-").map(Number) as [number, number, number];
  const whole = year * 12 + (month - 1) + by;
  const y = Math.floor(whole / 12),
    m = whole - y * 12;
  const last = new Date(y, m + 1, 0).getDate();
  return dayOf(new Date(y, m, Math.min(date, last)));
}
