// A number as it is printed and as it is typed. Pure.

/** A number with thin gaps between thousands and a true minus; negative decimals round to tens, hundreds. */
export function number(value: number, decimals: number): string {
  const unit = 10 ** -Math.min(0, decimals);
  const size = Math.abs(value) + 1e-9; // 0.15, which binary numbers hold a little short, is half way up
  const rounded = Math.round(size / unit) * unit;
  const [whole = "0", part] = (decimals < 0 ? rounded : size).toFixed(Math.max(0, decimals)).split(".");
  const grouped = whole.replace(/\B(?=(\d{3})+$)/g, "\u202f");
  const text = part === undefined ? grouped : `${grouped}.${part}`;
  return value < 0 && Number(text.replace(/\u202f/g, "")) !== 0 ? `\u2212${text}` : text;
}

/**
 * "9.0 ± 0.4", "790 ± 170": both end at the first digit of the plus-minus, at its second where
 * the first is a 1, and never beyond so many decimals.
 */
export function withPlusMinus(value: number, doubt: number, most = 3): string {
  const first = Math.floor(Math.log10(doubt)),
    leading = doubt / 10 ** first;
  const decimals = Math.min(most, (leading < 1.95 ? 1 : 0) - first);
  return `${number(value, decimals)} ± ${number(doubt, decimals)}`;
}

/** A text to be shown, in which no number parts from its unit or its plus-minus at the end of a line; what is stored and compared stays as it is. */
export const unbroken = (text: string): string =>
  text.replace(/(\d) (?=(?:±|%|[mk]m|m[²³]?|ha|t)(?![a-z]))|(±) /g, (_, digit, sign) => `${digit ?? sign}\u00a0`);

/** A misclosure, or what is allowed of one, in metres, as officers say it: "7.1 mm", with a tenth everywhere. */
export const millimetres = (m: number): string => `${number(m * 1000, 1)} mm`;

/** A level, or a reading to look for, in metres as every page says it: "100.248", to the millimetre. */
export const toMillimetre = (m: number): string => number(m, 3);

/** A number as far as it means something: nine places of a degree are 0.1 mm. */
export const rounded = (value: number, places: number): number => Number(value.toFixed(places));

/** The number a person typed, with a comma or a point; undefined for none, NaN for what is none. */
export function numberIn(text: string): number | undefined {
  const plain = text.trim().replace(",", ".").replace("\u2212", "-");
  if (plain === "") return undefined;
  return /^[-+]?(\d+\.?\d*|\.\d+)$/.test(plain) ? Number(plain) : NaN;
}
