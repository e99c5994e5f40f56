// The screen of an item that is not on the phone.

import { Frame } from "../../ui/frame.tsx";

export function NotHere({ title }: { title: string }) {
  return (
    <Frame title={title}>
      <p>This item is not on this phone.</p>
    </Frame>
  );
}
