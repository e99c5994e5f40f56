// What is shown when nothing can be recorded: it must not look like an empty page, and it
// has a way on for what is on the phone.

import { askToRescue } from "./rescue.ts";
import { Button, Row } from "../../ui/button.tsx";
import { WholeFrame } from "../../ui/frame.tsx";
import { Trouble } from "../../ui/panel.tsx";
import type { Stop } from "../../device/state.ts";

export function Stopped({ stop }: { stop: Stop }) {
  return (
    <WholeFrame
      title="Nothing can be recorded now"
      actions={
        <Row>
          <Button press={askToRescue}>Save what can be read</Button>
          <Button rank="main" press={() => location.reload()}>
            Open again
          </Button>
        </Row>
      }
    >
      <Trouble {...stop} />
      <p>
        What was recorded is still on this phone. If this message keeps coming back, save what can be read to a file and give it to the
        office.
      </p>
    </WholeFrame>
  );
}
