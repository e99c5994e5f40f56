// What a page says of its elements, as somebody who reads it or has it read to them finds it.

/** Elements whose words run on with those beside them. */
const inline = new Set(["B", "STRONG", "SUB", "SUP", "I", "EM"]);

/** The words of an element, without what is hidden from who listens. */
export const wordsOf = (element: Element | null): string => {
  if (!element) return "";
  const parts: string[] = [];
  const walk = (node: Node) => {
    if (node.nodeType === 3) parts.push(node.textContent ?? "");
    else if ((node as Element).getAttribute?.("aria-hidden") !== "true") {
      const apart = !inline.has((node as Element).tagName);
      if (apart) parts.push(" ");
      node.childNodes.forEach(walk);
      if (apart) parts.push(" ");
    }
  };
  walk(element);
  return parts
    .join("")
    .replace(/\s+/g, " ")
    .replace(/ (?=[,.;:)])|(?<=\() /g, "")
    .trim();
};

/** The name by which an element is spoken of: its label's words, or its own. */
export const nameOf = (element: Element | null): string => {
  if (!element) return "";
  const said = element.getAttribute("aria-label");
  if (said !== null) return said;
  const by = element.getAttribute("aria-labelledby") ?? "";
  if (by) return wordsOf(element.ownerDocument.getElementById(by));
  const label = element.id && element.ownerDocument.querySelector(`label[for="${element.id}"]`);
  if (label) return wordsOf(label).replace(/ \(if known\)$/, "");
  if (element.tagName === "TABLE") return wordsOf(element.querySelector("caption"));
  if (element.tagName === "FIELDSET") return wordsOf(element.querySelector("legend"));
  return wordsOf(element);
};
