// A number as it is printed beside a drawing. Pure.

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
