// Screens of one item, and what stands there when the item is not on this phone.

import type { ComponentType } from "preact";
import type { Feature } from "../../base/entry.ts";
import { Frame } from "../../ui/frame.tsx";
import { type Screen, useField } from "../context/field.ts";

/** The screen of the item that the address names. */
export const ofItem =
  (Body: ComponentType<{ feature: Feature }>): Screen =>
  ({ params }) => {
    const feature = useField().features.find((f) => f.id === params["id"]);
    return feature ? <Body feature={feature} /> : <Gone />;
  };

/** An item that is not, or not yet, on this phone. */
export function Gone() {
  return (
    <Frame title="Not on this phone">
      <p>This item is not on this phone. It may belong to another property, or not be loaded yet.</p>
    </Frame>
  );
}
