// A number as it is printed beside a drawing. Pure.

/** A number with thin gaps between thousands and a true minus; negative decimals round to tens, hundreds. */
export function number(value: number, decimals: number): string {
  const unit = 10 ** -Math.min(0, decimals);
  const rounded = Math.round(Math.abs(value) / unit) * unit;
  const [whole = "0", part] = (decimals < 0 ? rounded : Math.abs(value)).toFixed(Math.max(0, decimals)).split(".");
  const grouped = whole.replace(/\B(?=(\d{3})+$)/g, "\u202f");
  const text = part === undefined ? grouped : `${grouped}.${part}`;
  return value < 0 && Number(text.replace(/\u202f/g, "")) !== 0 ? `\u2212${text}` : text;
}
