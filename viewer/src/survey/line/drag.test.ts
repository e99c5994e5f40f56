import assert from "node:assert/strict";
import test from "node:test";
import { begun, chosenSpot, reduce, spotsOf, type Action, type Recording } from "./recording.ts";
import { dragOf } from "./drag.ts";

test("a drag is one step to undo, and how good its place is is worked out once, where it ends", () => {
  const spot = (lon: number) => ({ lon, lat: -20, accuracyM: 3, atMS: 0, how: "walked" as const });
  let recording: Recording = [spot(146), spot(146.001)].reduce((c, s) => reduce(c, { do: "add", spot: s }), begun("line"));
  const before = recording;
  const asked: number[] = [];
  const drag = dragOf(() => ({
    recording: recording,
    act: (action: Action) => void (recording = reduce(recording, action)),
    accuracyM: (to) => {
      asked.push(to.lon);
      return 7;
    },
  }));
  assert.equal(drag.grab({ lon: 146.5, lat: -20 }, 1), false);
  drag.drop();
  assert.equal(drag.grab({ lon: 146.001, lat: -20 }, 1), true);
  drag.drop(); // put down where it was taken up
  assert.equal(recording, before);
  drag.grab({ lon: 146.001, lat: -20 }, 1);
  for (const lon of [146.0011, 146.0012, 146.0013]) drag.drag({ lon, lat: -20 }, 1);
  assert.deepEqual([asked.length, spotsOf(recording)[1]!.lon], [0, 146.0013]);
  drag.drop();
  assert.deepEqual(asked, [146.0013]);
  assert.deepEqual([chosenSpot(recording)!.lon, chosenSpot(recording)!.accuracyM, chosenSpot(recording)!.how], [146.0013, 7, "tapped"]);
  recording = reduce(recording, { do: "undo" });
  assert.deepEqual(spotsOf(recording), spotsOf(before));
});
