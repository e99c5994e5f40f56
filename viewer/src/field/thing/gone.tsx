import { Frame } from "../kit/frame.tsx";

/** An item that is not, or not yet, on this phone. */
export function Gone() {
  return (
    <Frame title="Not on this phone">
      <p>This item is not on this phone. It may belong to another property, or not be loaded yet.</p>
    </Frame>
  );
}
