import assert from "node:assert/strict";
import test from "node:test";
import { begun, chosenSpot, reduce, spotsOf, type Action, type Course } from "./recording.ts";
import { dragOf } from "./drag.ts";

test("a drag is one step to undo, and how good its place is is worked out once, where it ends", () => {
  const spot = (lon: number) => ({ lon, lat: -20, accuracyM: 3, atMS: 0, how: "walked" as const });
  let course: Course = [spot(146), spot(146.001)].reduce((c, s) => reduce(c, { do: "add", spot: s }), begun("line"));
  const before = course;
  const asked: number[] = [];
  const drag = dragOf(() => ({
    course,
    act: (action: Action) => void (course = reduce(course, action)),
    accuracyM: (to) => {
      asked.push(to.lon);
      return 7;
    },
  }));
  assert.equal(drag.grab({ lon: 146.5, lat: -20 }, 1), false);
  drag.drop();
  assert.equal(drag.grab({ lon: 146.001, lat: -20 }, 1), true);
  drag.drop(); // put down where it was taken up
  assert.equal(course, before);
  drag.grab({ lon: 146.001, lat: -20 }, 1);
  for (const lon of [146.0011, 146.0012, 146.0013]) drag.drag({ lon, lat: -20 }, 1);
  assert.deepEqual([asked.length, spotsOf(course)[1]!.lon], [0, 146.0013]);
  drag.drop();
  assert.deepEqual(asked, [146.0013]);
  assert.deepEqual([chosenSpot(course)!.lon, chosenSpot(course)!.accuracyM, chosenSpot(course)!.how], [146.0013, 7, "tapped"]);
  course = reduce(course, { do: "undo" });
  assert.deepEqual(spotsOf(course), spotsOf(before));
});
