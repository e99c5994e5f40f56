// Written by go generate ./viewer/typing from the schemas of model/compute.

import type * as line from "./line.ts";
import type * as area from "./area.ts";
import type * as levelRun from "./level-run.ts";
import type * as staffReading from "./staff-reading.ts";
import type * as longSection from "./long-section.ts";
import type * as damLayout from "./dam-layout.ts";
import type * as damCheck from "./dam-check.ts";
import type * as timeOfConcentration from "./time-of-concentration.ts";
import type * as peakFlow from "./peak-flow.ts";
import type * as channelFlow from "./channel-flow.ts";
import type * as stormRunoff from "./storm-runoff.ts";
import type * as notch from "./notch.ts";
import type * as rockDam from "./rock-dam.ts";
import type * as whoaBoys from "./whoa-boys.ts";
import type * as whoaBoyCheck from "./whoa-boy-check.ts";
import type * as bankLayout from "./bank-layout.ts";
import type * as bankCheck from "./bank-check.ts";
import type * as contourCheck from "./contour-check.ts";
import type * as ripArea from "./rip-area.ts";
import type * as windrowGaps from "./windrow-gaps.ts";
import type * as batter from "./batter.ts";
import type * as soilLoss from "./soil-loss.ts";
import type * as revegetation from "./revegetation.ts";
import type * as treatmentChoice from "./treatment-choice.ts";
import type * as gullyVolume from "./gully-volume.ts";
import type * as retreat from "./retreat.ts";
import type * as headGrowth from "./head-growth.ts";
import type * as sediment from "./sediment.ts";
import type * as cover from "./cover.ts";
import type * as quantities from "./quantities.ts";
import type * as mapGrid from "./map-grid.ts";

/** The input and the output of every computation, by its name. */
export interface Types {
  "line": { input: line.Input; output: line.Output };
  "area": { input: area.Input; output: area.Output };
  "level-run": { input: levelRun.Input; output: levelRun.Output };
  "staff-reading": { input: staffReading.Input; output: staffReading.Output };
  "long-section": { input: longSection.Input; output: longSection.Output };
  "dam-layout": { input: damLayout.Input; output: damLayout.Output };
  "dam-check": { input: damCheck.Input; output: damCheck.Output };
  "time-of-concentration": { input: timeOfConcentration.Input; output: timeOfConcentration.Output };
  "peak-flow": { input: peakFlow.Input; output: peakFlow.Output };
  "channel-flow": { input: channelFlow.Input; output: channelFlow.Output };
  "storm-runoff": { input: stormRunoff.Input; output: stormRunoff.Output };
  "notch": { input: notch.Input; output: notch.Output };
  "rock-dam": { input: rockDam.Input; output: rockDam.Output };
  "whoa-boys": { input: whoaBoys.Input; output: whoaBoys.Output };
  "whoa-boy-check": { input: whoaBoyCheck.Input; output: whoaBoyCheck.Output };
  "bank-layout": { input: bankLayout.Input; output: bankLayout.Output };
  "bank-check": { input: bankCheck.Input; output: bankCheck.Output };
  "contour-check": { input: contourCheck.Input; output: contourCheck.Output };
  "rip-area": { input: ripArea.Input; output: ripArea.Output };
  "windrow-gaps": { input: windrowGaps.Input; output: windrowGaps.Output };
  "batter": { input: batter.Input; output: batter.Output };
  "soil-loss": { input: soilLoss.Input; output: soilLoss.Output };
  "revegetation": { input: revegetation.Input; output: revegetation.Output };
  "treatment-choice": { input: treatmentChoice.Input; output: treatmentChoice.Output };
  "gully-volume": { input: gullyVolume.Input; output: gullyVolume.Output };
  "retreat": { input: retreat.Input; output: retreat.Output };
  "head-growth": { input: headGrowth.Input; output: headGrowth.Output };
  "sediment": { input: sediment.Input; output: sediment.Output };
  "cover": { input: cover.Input; output: cover.Output };
  "quantities": { input: quantities.Input; output: quantities.Output };
  "map-grid": { input: mapGrid.Input; output: mapGrid.Output };
}
