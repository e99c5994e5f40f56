// Screens of one item, and what stands there when the item, or its position, is not on this phone.

import type { ComponentType } from "preact";
import { kindNamed } from "../../base/kinds.ts";
import { kindOf, type Feature } from "../../base/entry.ts";
import { lacksPlace } from "../../base/nearest.ts";
import { Frame } from "../../ui/frame.tsx";
import { type Screen, useField } from "../context/field.ts";

/** The screen of the item that the address names, as a parameter of this name. */
export const ofItem =
  (Body: ComponentType<{ feature: Feature }>, { named = "id", title }: { named?: string; title?: string } = {}): Screen =>
  ({ params }) => {
    const feature = useField().features.find((f) => f.id === params[named]);
    return feature ? <Body feature={feature} /> : <NotHere title={title} />;
  };

/** An item that is not, or not yet, on this phone. */
export function NotHere({ title = "Not on this phone" }: { title?: string | undefined }) {
  return (
    <Frame title={title}>
      <p>This item is not on this phone. It may belong to another property, or not be loaded yet.</p>
    </Frame>
  );
}

/** The step that gives a point its position, by standing there. name tells it from others in a list. */
export function SetPosition({ of, name, wide }: { of: Feature; name?: string; wide?: boolean }) {
  if (!lacksPlace(of) || !kindNamed(kindOf(of)).shapes.includes("point")) return null;
  return (
    <a class={`button${wide ? " wide" : ""}`} href={`#/thing/${of.id}/edit`} aria-label={name && `Set position of ${name}`}>
      Set position
    </a>
  );
}
