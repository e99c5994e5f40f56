import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import test from "node:test";
import { bearingTo, metresBetween, moved, nearestOnLine } from "./plane.ts";

/** Length and azimuth by GeodSolve of GeographicLib. */
function solved(pairs: readonly (readonly [number, number, number, number])[]): { azimuthDeg: number; m: number }[] {
  const input = pairs.map(([lon1, lat1, lon2, lat2]) => [lat1, lon1, lat2, lon2].map((d) => d.toFixed(12)).join(" ")).join("\n");
  const said = execFileSync("GeodSolve", ["-i", "-p", "6"], { input, encoding: "utf8" });
  return said
    .trim()
    .split("\n")
    .map((line) => {
      const [azimuth, , m] = line.split(" ").map(Number);
      return { azimuthDeg: (azimuth! + 360) % 360, m: m! };
    });
}

const pairs: [number, number, number, number][] = [];
for (const lat of [-43, -25.5, -12.4, 0, 31, 58]) {
  for (const bearing of [0, 47, 90, 133, 180, 222, 270, 311]) {
    for (const m of [0.5, 12, 300, 1000, 9000]) {
      const to = moved({ lon: 146.3, lat }, m * Math.sin((bearing * Math.PI) / 180), m * Math.cos((bearing * Math.PI) / 180));
      pairs.push([146.3, lat, to.lon, to.lat]);
    }
  }
}
pairs.push([179.9995, -16.5, -179.9993, -16.5001]); // over the antimeridian

test("lengths and bearings are GeodSolve's", () => {
  const want = solved(pairs);
  pairs.forEach(([lon1, lat1, lon2, lat2], i) => {
    const a = { lon: lon1, lat: lat1 },
      b = { lon: lon2, lat: lat2 };
    const got = metresBetween(a, b);
    const allowed = 0.0005 + want[i]!.m * 1e-6;
    assert.ok(Math.abs(got - want[i]!.m) <= allowed, `metresBetween(${pairs[i]}) = ${got}, want ${want[i]!.m}`);
    const turn = Math.abs(((bearingTo(a, b) - want[i]!.azimuthDeg + 540) % 360) - 180);
    assert.ok(
      turn * want[i]!.m <= 0.1 * Math.max(1, want[i]!.m),
      `bearingTo(${pairs[i]}) = ${bearingTo(a, b)}, want ${want[i]!.azimuthDeg}`,
    );
  });
});

test("moving and measuring agree", () => {
  for (const [east, north] of [
    [3, 4],
    [-250, 80],
    [0, -1200],
  ] as const) {
    for (const from of [
      { lon: 146.3, lat: -25.5 },
      { lon: 179.9999, lat: -16 },
    ]) {
      const got = metresBetween(from, moved(from, east, north));
      const want = Math.hypot(east, north);
      assert.ok(Math.abs(got - want) < 0.001, `moved ${east}, ${north} from ${JSON.stringify(from)}: ${got} m off, want ${want}`);
    }
  }
});

test("the nearest place on a line", () => {
  const start = { lon: 146.3, lat: -25.5 };
  const line = [start, moved(start, 100, 0), moved(start, 100, 50)];
  for (const [name, at, want] of [
    ["beside-first-leg", moved(start, 30, 4), { on: moved(start, 30, 0), offM: 4, after: 0 }],
    ["beside-second-leg", moved(start, 93, 20), { on: moved(start, 100, 20), offM: 7, after: 1 }],
    ["before-start", moved(start, -5, 0), { on: start, offM: 5, after: 0 }],
    ["beyond-end", moved(start, 100, 56), { on: line[2]!, offM: 6, after: 1 }],
  ] as const) {
    const got = nearestOnLine(line, at)!;
    assert.ok(metresBetween(got.at, want.on) < 0.01, `${name}: ${metresBetween(got.at, want.on)} m from the place wanted`);
    assert.ok(Math.abs(got.offM - want.offM) < 0.01, `${name}: off ${got.offM}, want ${want.offM}`);
    assert.equal(got.after, want.after, `${name}: after ${got.after}, want ${want.after}`);
  }
  assert.equal(nearestOnLine([], start), null);
});
