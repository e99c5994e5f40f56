import { Frame } from "../kit/frame.tsx";

/** A thing that is not, or not yet, on this phone. */
export function Gone() {
  return (
    <Frame title="Not on this phone">
      <p>This thing is not on this phone. It may be of another property, or not loaded yet.</p>
    </Frame>
  );
}
