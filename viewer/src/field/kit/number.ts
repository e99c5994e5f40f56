/** The number a person typed, with a comma or a point; undefined for none, NaN for what is none. */
export function numberIn(text: string): number | undefined {
  const plain = text.trim().replace(",", ".").replace("\u2212", "-");
  if (plain === "") return undefined;
  return /^[-+]?(\d+\.?\d*|\.\d+)$/.test(plain) ? Number(plain) : NaN;
}
