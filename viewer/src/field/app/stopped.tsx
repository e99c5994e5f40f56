// What is shown when nothing can be recorded: it must not look like an empty page.

import { Trouble } from "../kit/part.tsx";
import type { Stop } from "./state.ts";

export function Stopped({ stop }: { stop: Stop }) {
  return (
    <main class="screen">
      <div class="sheet">
        <h1 tabIndex={-1}>Nothing can be recorded now</h1>
        <Trouble what={stop.what} todo={stop.todo} />
        <button type="button" class="b-main wide" onClick={() => location.reload()}>Open again</button>
      </div>
    </main>
  );
}
