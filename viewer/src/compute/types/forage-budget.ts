// Written by go generate ./viewer/typing from the schemas of model/compute.

// forage-budget: how many animals a paddock's feed keeps and for how long, leaving a residual

import type { Caution } from "./shared.ts";

export interface Input {
  /** the parts of the paddock that carry feed of one sort */
  landTypes: LandType[];
  /** [%] dry share of quadrats weighed fresh, alike for all land types without their own; this or drySamples */
  dryMatterPct?: number | null;
  /** [%] one standard deviation, shared by all those quadrats; not known if not given */
  dryMatterPlusMinusPct?: number | null;
  /** parts of the cuts weighed before and after drying; two or more give the ± too */
  drySamples?: DrySample[] | null;
  /** [%] one standard deviation, of the feed, by which the eye reads all photo standards too high or too low; not known if not given */
  eyePlusMinusPct?: number | null;
  /** [%] feed that falls, blows away and is trampled over the whole time it must last; this or detachmentPer30DaysPct */
  detachmentPct?: number | null;
  /** [%] one standard deviation; not known if not given */
  detachmentPlusMinusPct?: number | null;
  /** [%] the same of what stands, in each 30 days */
  detachmentPer30DaysPct?: number | null;
  /** [%] one standard deviation; not known if not given */
  detachmentPer30DaysPlusMinusPct?: number | null;
  /** [%] of the feed, weeds and what stock leave */
  unpalatablePct: number;
  /** [%] one standard deviation; not known if not given */
  unpalatablePlusMinusPct?: number | null;
  /** [kg/har] dry matter that must be left */
  residualKgHa: number;
  /** [kg/(har.d)] palatable growth expected in a day; none is counted if not given */
  growthKgHaDay?: number | null;
  /** [kg/(har.d)] one standard deviation; not known if not given */
  growthPlusMinusKgHaDay?: number | null;
  /** [%] share that stock may eat; the residual alone decides if not given */
  utilisationPct?: number | null;
  /** what it is a share of: the palatable feed that stands, or a year's growth; required with it */
  utilisationOf?: "standing feed" | "growth" | null;
  /** [kg/har] a year's growth, for a share of it */
  yearGrowthKgHa?: number | null;
  /** [kg/har] one standard deviation; not known if not given */
  yearGrowthPlusMinusKgHa?: number | null;
  /** a published table of animals in units: adult equivalents on land of low, moderate and high productivity in northern Australia, US animal units, dry sheep equivalents */
  ratings?: "ae-low" | "ae-moderate" | "ae-high" | "au-1990" | "dse" | null;
  /** [kg/d] dry matter that one adult equivalent, or other unit, eats in a day; that of the ratings if not given, and required without them */
  intakeKgDay?: number | null;
  /** [kg/d] one standard deviation; not known if not given */
  intakePlusMinusKgDay?: number | null;
  /** the herd, by class; none asks for adult equivalents, or other units */
  mobs?: Mob[] | null;
  /** [d] how long the feed must last; asked if not given */
  days?: number | null;
  /** [%] ground cover, as cover answers it; with a target */
  coverPct?: number | null;
  /** [%] one standard deviation; not known if not given */
  coverPlusMinusPct?: number | null;
  /** [%] its lower 95 % limit, as cover answers it; by the ± if not given */
  coverLowPct?: number | null;
  /** [%] its upper 95 % limit */
  coverHighPct?: number | null;
  /** a published threshold of cover, as in cover */
  coverTarget?: "runoff-50" | "soil-loss-70" | "sediment-75" | null;
  /** [%] the local target, in place of coverTarget */
  coverTargetPct?: number | null;
}

export interface LandType {
  /** what it is called */
  name?: string | null;
  /** [har] its area in the paddock */
  areaHa: number;
  /** [har] one standard deviation; taken as right if not given */
  areaPlusMinusHa?: number | null;
  /** [har] of it gullied, scalded, fenced off or too far from water; 0 if not given */
  outHa?: number | null;
  /** frames placed without choosing, cut and weighed; this or photosKgHa */
  quadrats?: Quadrats | null;
  /** [kg/har] dry matter read off photo standards, one for each place looked at */
  photosKgHa?: number[] | null;
}

export interface Quadrats {
  /** [m2] ground inside the frame: 0.25 of 0.5 m by 0.5 m */
  frameM2: number;
  /** [g] of each cut, without its bag */
  cutsG: number[];
  /** the cuts were weighed dry; fresh if not given */
  dried?: boolean | null;
  /** [%] dry share of these cuts, in place of that of all */
  dryMatterPct?: number | null;
  /** [%] one standard deviation; not known if not given */
  dryMatterPlusMinusPct?: number | null;
  /** samples of these cuts, in place of those of all */
  drySamples?: DrySample[] | null;
}

export interface DrySample {
  /** [g] plate and sample before drying */
  freshG: number;
  /** [g] plate and sample dried until they lose no more */
  dryG: number;
  /** [g] the plate or bag alone */
  plateG: number;
}

export interface Mob {
  /** what the mob is called */
  name?: string | null;
  /** how many; leave it out of one mob alone to ask how many fit */
  head?: number | null;
  /** a class of the ratings, as steers 1-2; this or unitsPerHead */
  class?: string | null;
  /** adult equivalents, or other units, of each head */
  unitsPerHead?: number | null;
  /** one standard deviation; taken as right if not given */
  unitsPlusMinusPerHead?: number | null;
}

export interface Output {
  /** [kg/har] feed on offer: dry matter, over all land types */
  feedKgHa: number;
  /** [kg/har] one standard deviation; none when not known */
  feedPlusMinusKgHa?: number;
  /** [har] hectares that carry it, without those left out */
  grazedHa: number;
  /** [har] one standard deviation; none when not known */
  grazedPlusMinusHa?: number;
  /** each land type */
  landTypes: OutputLandType[];
  /** [kg/har] of it palatable and left by detachment, ungrazed and without growth */
  standingKgHa?: number;
  /** [kg/har] one standard deviation; none when not known */
  standingPlusMinusKgHa?: number;
  /** what a relative error of the feed is multiplied by on its way into what the residual leaves to eat */
  feedErrorFactor?: number;
  /** feed that stock may eat; none where growth keeps up with them */
  eat?: Eat;
  /** how long the herd can stay; none without its head */
  lasts?: Lasts;
  /** how many can stay for the days; none without days */
  fits?: Fits;
  /** what the herd eats; none without its head */
  herd?: Herd;
  /** [kg/d] dry matter that one adult equivalent, or other unit, eats in a day */
  intakeKgDay: number;
  /** [kg/d] one standard deviation; none when not known */
  intakePlusMinusKgDay?: number;
  /** where the intake comes from */
  intakeSource: string;
  /** what the named ratings count in; none without them */
  unit?: string;
  /** the classes of the named ratings */
  classes?: Class[];
  /** ground cover against its target, and what follows */
  cover?: Cover;
  /** what was published for inputs that are judged; none is taken by itself */
  proposals: Proposal[];
  /** what to watch for */
  cautions: Caution[];
}

export interface OutputLandType {
  /** what it is called */
  name?: string;
  /** [har] its hectares without those left out */
  grazedHa: number;
  /** [har] one standard deviation; none when not known */
  grazedPlusMinusHa?: number;
  /** [kg/har] feed on offer */
  feedKgHa: number;
  /** [kg/har] one standard deviation; none when not known */
  feedPlusMinusKgHa?: number;
  /** [kg/har] lower 95 % limit; none when not known */
  lowKgHa?: number;
  /** [kg/har] upper 95 % limit */
  highKgHa?: number;
  /** [%] standard deviation between quadrats or places, of their mean; none for one alone */
  variationPct?: number;
  /** quadrats or places that bring the 95 % limits of their mean within 10 % of it */
  neededFor10Pct?: number;
}

export interface Eat {
  /** [kg/har] the lesser of both rules; below 0 where less than the residual stands */
  eatKgHa: number;
  /** [kg/har] one standard deviation; none when not known */
  eatPlusMinusKgHa?: number;
  /** [kg/har] one time in ten it is less; none when a ± is not known */
  cautiousKgHa?: number;
  /** the rule of the lesser */
  limitedBy: "residual" | "utilisation";
  /** [kg/har] so that the residual is left */
  byResidualKgHa?: number;
  /** [kg/har] one standard deviation; none when not known */
  byResidualPlusMinusKgHa?: number;
  /** [kg/har] by the share of utilisation */
  byUtilisationKgHa?: number;
  /** [kg/har] one standard deviation; none when not known */
  byUtilisationPlusMinusKgHa?: number;
  /** [d/har] days of one adult equivalent, or other unit, on each hectare */
  animalDaysHa: number;
  /** [d/har] one standard deviation; none when not known */
  animalDaysPlusMinusHa?: number;
  /** [d/har] one time in ten it is less */
  cautiousAnimalDaysHa?: number;
}

export interface Lasts {
  /** [d] the lesser of both rules */
  days: number;
  /** [d] one standard deviation; none when not known */
  daysPlusMinus?: number;
  /** [d] one time in ten it is less; none when a ± is not known */
  cautiousDays?: number;
  /** the rule of the lesser */
  limitedBy: "residual" | "utilisation";
  /** [d] until the residual is reached; none where growth keeps up */
  byResidualDays?: number;
  /** [d] one standard deviation; none when not known */
  byResidualPlusMinusDays?: number;
  /** [d] until the share is eaten */
  byUtilisationDays?: number;
  /** [d] one standard deviation; none when not known */
  byUtilisationPlusMinusDays?: number;
}

export interface Fits {
  /** adult equivalents, or other units; the lesser of both rules */
  units: number;
  /** one standard deviation; none when not known */
  unitsPlusMinus?: number;
  /** one time in ten fewer can; none when a ± is not known */
  cautiousUnits?: number;
  /** the rule of the lesser */
  limitedBy: "residual" | "utilisation";
  /** so that the residual is left */
  byResidualUnits?: number;
  /** one standard deviation; none when not known */
  byResidualPlusMinusUnits?: number;
  /** by the share of utilisation */
  byUtilisationUnits?: number;
  /** one standard deviation; none when not known */
  byUtilisationPlusMinusUnits?: number;
  /** head of the one mob, rounded down; none for several */
  head?: number;
  /** one standard deviation; none when not known */
  headPlusMinus?: number;
  /** one time in ten fewer can */
  cautiousHead?: number;
}

export interface Herd {
  /** its adult equivalents, or other units */
  units: number;
  /** one standard deviation; none when not known */
  unitsPlusMinus?: number;
  /** [kg/d] dry matter it eats in a day */
  eatsKgDay: number;
  /** [kg/d] one standard deviation; none when not known */
  eatsPlusMinusKgDay?: number;
  /** what that makes of the feed over the days; none without days */
  over?: Over;
}

export interface Over {
  /** yes where the feed falls short one time in ten or less, no where it suffices as seldom */
  enough: "yes" | "no" | "cannot tell";
  /** [kg/har] what may be eaten less what is, by the lesser of both rules */
  marginKgHa: number;
  /** [kg/har] one standard deviation; none when not known */
  marginPlusMinusKgHa?: number;
  /** the rule of the lesser */
  limitedBy: "residual" | "utilisation";
  /** [kg/har] dry matter eaten of each hectare */
  eatsKgHa: number;
  /** [kg/har] one standard deviation; none when not known */
  eatsPlusMinusKgHa?: number;
  /** [%] of the feed on offer; none where there is none */
  ofFeedPct?: number;
  /** [%] one standard deviation; none when not known */
  ofFeedPlusMinusPct?: number;
  /** [kg/har] palatable feed at the end, the residual in it */
  leftKgHa: number;
  /** [kg/har] one standard deviation; none when not known */
  leftPlusMinusKgHa?: number;
  /** [d/har] days of one adult equivalent, or other unit, on each hectare */
  animalDaysHa: number;
  /** [d/har] one standard deviation; none when not known */
  animalDaysPlusMinusHa?: number;
}

export interface Class {
  /** as a mob names it */
  class: string;
  /** units of each head */
  unitsPerHead: number;
}

export interface Cover {
  /** [%] the cover */
  coverPct: number;
  /** [%] one standard deviation; none when not known */
  coverPlusMinusPct?: number;
  /** [%] its target for the end of the dry */
  targetPct: number;
  /** yes when even the lower 95 % limit reaches it, no when even the upper one does not */
  meets: "yes" | "no" | "cannot tell";
  /** the paddock is rested before it is stocked: everywhere but where the target is met */
  restFirst: boolean;
  /** what follows */
  text: string;
  /** [d] from the start of growth, at the least */
  leastRestDays?: number;
  /** [d] the longest that this least is put at */
  mostRestDays?: number;
  /** who says so */
  sources: string[];
}

export interface Proposal {
  /** the input it is proposed for */
  input: string;
  /** in the input's own unit */
  low: number;
  /** the same where one value was published */
  high: number;
  /** the land or animals it is for */
  for: string;
  /** who published it, and how far that was read */
  source: string;
}
