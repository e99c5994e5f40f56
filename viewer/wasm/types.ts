// Written by go generate ./viewer/typing from the schemas of model/compute.

/** The input and the output of every computation, by its name. */
export interface Types {
  /** length of a line of positions on the WGS84 ellipsoid, and of each segment */
  "line": {
    input: {
      /** [deg] longitude and latitude of each position, WGS84, in order along the line */
      positions: [number, number][];
      /** [m] one standard deviation of a position along any direction; the receiver's own accuracy, for want of better */
      accuracyM?: number | null;
      /** how the positions came about; GPS if not given */
      basis?: "levelled" | "taped" | "GPS" | "drawn on the map" | "estimated" | "from plan" | "not recorded" | "unproven" | null;
    };
    output: {
      /** [m] along the surface of the ellipsoid; on a slope the ground is longer */
      lengthM: number;
      /** [m] from each position to the next */
      segmentsM: number[];
      /** [m] one standard deviation of lengthM; none without an accuracy */
      plusMinusM?: number;
      /** what the length comes from */
      basis: string;
    };
  };
  /** area and perimeter of ground inside a boundary, with holes, on the WGS84 ellipsoid */
  "area": {
    input: {
      /** [deg] closed rings of longitude and latitude, WGS84: the boundary, then the holes; wound either way */
      rings: [number, number][][];
      /** [m] one standard deviation of a position along any direction; the receiver's own accuracy, for want of better */
      accuracyM?: number | null;
      /** how the positions came about; GPS if not given */
      basis?: "levelled" | "taped" | "GPS" | "drawn on the map" | "estimated" | "from plan" | "not recorded" | "unproven" | null;
    };
    output: {
      /** [m2] inside the boundary less the holes, on the ellipsoid */
      areaM2: number;
      /** [m] round the boundary and every hole */
      perimeterM: number;
      /** [m2] one standard deviation of areaM2; none without an accuracy */
      plusMinusM2?: number;
      /** [m] one standard deviation of perimeterM; none without an accuracy */
      perimeterPlusMinusM?: number;
      /** what the area comes from */
      basis: string;
    };
  };
  /** levels from a level book, with its checks, its misclosure and its adjustment */
  "level-run": {
    input: {
      /** the level book, in the order in which it was booked */
      rows: ({
        /** what the staff stood on */
        point?: string | null;
        /** [m] backsight; a change point has both fs and bs */
        bs?: number | null;
        /** [m] intermediate sight */
        is?: number | null;
        /** [m] foresight */
        fs?: number | null;
        /** [m] starts the run on the first row; on a later row, what the run should close on */
        knownLevelM?: number | null;
        /** [m] along the levelled route from its start */
        distanceM?: number | null;
        /** staff upside down on an overhead point, reading as read; or book the reading negative */
        inverted?: boolean | null;
        /** anything noted; not used */
        remark?: string | null;
        /** ruled through: kept and passed over */
        struck?: boolean | null;
        /** [m] level reduced by hand, to be checked */
        bookedLevelM?: number | null;
        /** the feature the staff stood on */
        feature?: string | null;
        /** which part of the feature: bed, toe, crest, peg */
        spot?: string | null;
        /** [m] along the feature; a long section is made of the rows that have one */
        chainageM?: number | null;
      })[];
      /** what the run may be out by; 5 mm for each root set-up if not given */
      tolerance?: {
        /** [mm] k of k*sqrt(K), K the levelled distance in km; needs distanceM */
        perRootKmMm?: number | null;
        /** [mm] k of k*sqrt(n), n the number of set-ups; the stricter applies if both are given */
        perRootSetupMm?: number | null;
      } | null;
      /** true spreads any misclosure, false none; if not given, one within the allowable is spread */
      adjust?: boolean | null;
      /** [m] longest reading of the staff; 5 if not given */
      staffLengthM?: number | null;
      /** [mm] one standard deviation of a reading; 2 if not given */
      readingPlusMinusMm?: number | null;
    };
    output: {
      /** one for each row given */
      rows: ({
        /** as given */
        point: string;
        /** passed over: the row has no level */
        struck?: boolean;
        /** set-up that the level was sighted from; 0 at the start */
        setup: number;
        /** [m] level as reduced, before any adjustment */
        levelM?: number;
        /** [m] rise from the sight before */
        riseM?: number;
        /** [m] fall from the sight before */
        fallM?: number;
        /** [m] level of the line of sight after this row's backsight */
        instrumentLevelM?: number;
        /** [m] level after spreading the misclosure, to 0.1 mm; past a known level, carried from that */
        adjustedLevelM?: number;
        /** [m] one standard deviation against the start of the run: that of a reading times the root of twice the set-ups */
        plusMinusM?: number;
        /** unproven where the run fails here or before, or hangs */
        basis?: "levelled" | "unproven";
        /** as given */
        feature?: string;
        /** as given */
        spot?: string;
        /** [m] as given */
        chainageM?: number;
      })[];
      /** totals of the columns */
      sums: {
        /** [m] of backsights */
        bs: number;
        /** [m] of foresights */
        fs: number;
        /** [m] of rises */
        rise: number;
        /** [m] of falls */
        fall: number;
      };
      /** rise and fall, height of instrument, their sums and any booked level agree */
      arithmeticOK: boolean;
      /** number of set-ups */
      setups: number;
      /** [m] reduced less known level at the last known foresight; absent when the run never comes to one */
      misclosureM?: number;
      /** [m] what the tolerance allows to there; absent when it cannot be calculated */
      allowableM?: number;
      /** the run ends on a known level and is within the allowable on every known level */
      closed: boolean;
      /** row of the book, counted from 1, up to which the levels are proven; what is booked after it is not closed yet; absent when none is */
      closedToRow?: number;
      /** each known level after the first, against the known level before it */
      closures: {
        /** row of the book, counted from 1 */
        row: number;
        /** set-ups from the known level before */
        setups: number;
        /** [m] gained since the known level before */
        misclosureM: number;
        /** [m] what the tolerance allows */
        allowableM?: number;
        /** within the allowable */
        closed: boolean;
        /** by an intermediate sight: a check that does not close the run */
        onSight?: boolean;
      }[];
      /** how the misclosure was spread */
      adjustedBy: "none" | "set-ups" | "distance";
      /** of the run's levels */
      basis: "levelled" | "unproven";
      /** why the run does not close or its arithmetic is not in order */
      reasons: string[];
      /** what to know beside the figures */
      cautions: {
        /** the value it is tied to */
        about: string;
        /** the caution */
        text: string;
      }[];
    };
  };
  /** what to read on the staff to set out a level */
  "staff-reading": {
    input: {
      /** [m] level of the line of sight: level of the backsight point plus its reading */
      instrumentLevelM: number;
      /** [m] level to set out, on the same datum */
      targetLevelM: number;
      /** [m] longest reading of the staff; 5 if not given */
      staffLengthM?: number | null;
      /** [m] what was read where the staff stands now */
      readM?: number | null;
    };
    output: {
      /** [m] reading that puts the foot of the staff on the target level */
      readingM: number;
      /** [m] level where the staff stands now, if readM was given */
      levelM?: number;
      /** [m] how far that is above the target; minus is below */
      offM?: number;
      /** which way to move the staff */
      move?: string;
    };
  };
  /** length, fall and slopes of a surveyed gully bed, reach by reach */
  "long-section": {
    input: {
      /** surveyed points of the bed from the downstream end up, at least two */
      bed: ({
        /** [m] along the thalweg from its downstream end; this or position */
        chainageM?: number | null;
        /** [deg] longitude and latitude, WGS84; chainages are then geodesic lengths from the first */
        position?: [number, number] | null;
        /** [m] level of the bed on the datum of the run */
        levelM: number;
      })[];
      /** what the levels come from: levelled if not given; only levelled ones can pass or fail a check */
      basis?: "levelled" | "taped" | "GPS" | "drawn on the map" | "estimated" | "from plan" | "not recorded" | "unproven" | null;
      /** [m] one standard deviation of a level; 0.005 for levelled ones, else not known */
      levelPlusMinusM?: number | null;
      /** [m] one standard deviation of a chainage; 0.05, a tape's, if not given; not known for positions */
      chainagePlusMinusM?: number | null;
    };
    output: {
      /** [m] from the first point to the last, horizontal */
      lengthM: number;
      /** [m] one standard deviation; none when not known */
      lengthPlusMinusM?: number;
      /** [m] level of the upstream end less that of the downstream end */
      fallM: number;
      /** [m] one standard deviation; none when not known */
      fallPlusMinusM?: number;
      /** [%] fall over length */
      meanSlopePct: number;
      /** [%] one standard deviation; none when not known */
      meanSlopePlusMinusPct?: number;
      /** the points of the bed, from the downstream end up */
      bed: {
        /** [m] along the thalweg from its downstream end; this or position */
        chainageM?: number;
        /** [deg] longitude and latitude, WGS84; chainages are then geodesic lengths from the first */
        position?: [number, number];
        /** [m] level of the bed on the datum of the run */
        levelM: number;
      }[];
      /** what the levels come from */
      basis: string;
      /** [m] one standard deviation of a level; none when not known */
      levelPlusMinusM?: number;
      /** [m] one standard deviation of a chainage; none when not known */
      chainagePlusMinusM?: number;
      /** the bed between neighbouring points */
      reaches: {
        /** [m] chainage of its downstream end */
        fromM: number;
        /** [m] chainage of its upstream end */
        toM: number;
        /** [%] rise going upstream over horizontal length; negative where the bed falls upstream */
        slopePct: number;
      }[];
      /** the reaches that fall going upstream */
      adverse: {
        /** [m] chainage of its downstream end */
        fromM: number;
        /** [m] chainage of its upstream end */
        toM: number;
        /** [%] rise going upstream over horizontal length; negative where the bed falls upstream */
        slopePct: number;
      }[];
      /** what to watch for */
      cautions: {
        /** the figure, field or check it is tied to, empty for the whole */
        about: string;
        /** the sentence */
        text: string;
      }[];
    };
  };
  /** where check dams go on a surveyed bed, each toe level with the crest below */
  "dam-layout": {
    input: {
      /** surveyed points of the bed from the downstream end up, at least two */
      bed: ({
        /** [m] along the thalweg from its downstream end; this or position */
        chainageM?: number | null;
        /** [deg] longitude and latitude, WGS84; chainages are then geodesic lengths from the first */
        position?: [number, number] | null;
        /** [m] level of the bed on the datum of the run */
        levelM: number;
      })[];
      /** [m] lowest point of the crest above the bed, foundation not counted; 0.4 if not given, usually 0.3 to 0.5, at most 1 */
      crestHeightM?: number | null;
      /** [m] chainage of the first toe; the downstream end, or the first place above a reach without dams there, if not given */
      fromM?: number | null;
      /** [m] no toe beyond this chainage; the upstream end if not given */
      toM?: number | null;
      /** [%] slope that silt settles at behind the dams; 0, level, if not given */
      depositSlopePct?: number | null;
      /** what the levels come from: levelled if not given; only levelled ones can pass or fail a check */
      basis?: "levelled" | "taped" | "GPS" | "drawn on the map" | "estimated" | "from plan" | "not recorded" | "unproven" | null;
      /** [m] one standard deviation of a level; 0.005 for levelled ones, else not known */
      levelPlusMinusM?: number | null;
      /** [m] one standard deviation of a chainage; 0.05, a tape's, if not given; not known for positions */
      chainagePlusMinusM?: number | null;
      /** good places for dams: one is taken when the silt from below still reaches its toe */
      sites?: ({
        /** [m] where a toe would stand well */
        chainageM: number;
        /** what makes it good */
        quality?: "narrow" | "straight" | "narrow and straight" | "firm bed" | "good" | null;
        /** [m] width of the bed there; that of the build if not given */
        widthM?: number | null;
      })[] | null;
      /** [%] how much of its height a dam on a good site may lose to the silt from below; 50 if not given */
      buriedPct?: number | null;
      /** reaches in which no dam is built */
      skip?: ({
        /** [m] chainage of the reach's lower end */
        fromM: number;
        /** [m] chainage of its upper end */
        toM: number;
        /** why no dam is wanted between; its ends are allowed */
        why: "rock" | "steep" | "other";
      })[] | null;
      /** whose limit for the slope of the bed: 6, 8, 10 or 20 %; none if not given */
      slopeLimit?: "stormwater channel" | "road ditch" | "brush fill" | "bale dam" | null;
      /** [%] no toe on a surveyed reach that climbs more steeply; instead of a named limit */
      maxBedSlopePct?: number | null;
      /** gully heads in the bed: a dam is put close below each, none in its plunge, on its wall or on its lip */
      heads?: {
        /** [m] of the foot of its wall */
        chainageM: number;
        /** [m] from its lip down to the foot */
        depthM: number;
      }[] | null;
      /** how close below a head a dam may stand, in depths of the head; 4 if not given */
      headNearDepths?: number | null;
      /** how far below a head its dam may stand, in depths of the head; 6 if not given */
      headFarDepths?: number | null;
      /** whose belief of the slope that silt settles at, from the mean slope of the whole bed; instead of depositSlopePct */
      depositRule?: "level" | "compensation" | "half" | "seven tenths" | null;
      /** peak flow and notch of every dam, as in notch: the level of its ends is then answered */
      notch?: {
        /** [m3/s] peak flow; give two of flowM3S, headM and crestLengthM, and the third is calculated */
        flowM3S?: number | null;
        /** [m3/s] one standard deviation; not known if not given */
        flowPlusMinusM3S?: number | null;
        /** [m] depth of the water above the bottom of the notch, a little upstream */
        headM?: number | null;
        /** [m] one standard deviation; not known if not given */
        headPlusMinusM?: number | null;
        /** [m] length of the notch's level bottom */
        crestLengthM?: number | null;
        /** [m] one standard deviation; not known if not given */
        crestLengthPlusMinusM?: number | null;
        /** lean of the notch's sides, outwards; 0, upright, if not given */
        sideRunPerRise?: number | null;
        /** named discharge coefficient; loose rock, the lower, if not given */
        weir?: "loose rock" | "broad crest" | null;
        /** [m0.5/s] discharge coefficient in metres instead of a named one */
        coefficient?: number | null;
        /** [m0.5/s] one standard deviation; of a named coefficient 0.016, of another not known if not given */
        coefficientPlusMinus?: number | null;
        /** [m] from the water up to the dam's ends; 0.15 if not given */
        freeboardM?: number | null;
        /** [m] width of the gully's bottom at the dam */
        gullyBottomM?: number | null;
        /** [m] how far the lower end of a standing dam rises above the bottom of its notch: it is then checked */
        endsAboveCrestM?: number | null;
      } | null;
      /** how the dams are built: what they take is then answered */
      build?: {
        /** what the dams are built from; loose rock if not given */
        material?: "loose rock" | "netting and posts" | "brushwood" | "hay bales" | null;
        /** [m] of the bed, where a site does not give its own */
        bedWidthM: number;
        /** of the left bank, looking downstream; 0, upright, if not given */
        leftRunPerRise?: number | null;
        /** of the right bank */
        rightRunPerRise?: number | null;
        /** [m] along the stream; of netting and brushwood, from fence to fence */
        crestBreadthM?: number | null;
        /** of the upstream face */
        upstreamRunPerRise?: number | null;
        /** of the downstream face */
        downstreamRunPerRise?: number | null;
        /** [m] of the trench along the dam; 0: none. About 0.6 by Heede 1976, from memory */
        keyDepthM?: number | null;
        /** [m] of the trench; about 0.6 by the same */
        keyWidthM?: number | null;
        /** [m] into each bank; 1.2 to 1.8 by the same */
        keyIntoBankM?: number | null;
        /** how far below the toe rock is laid; Heede, 1.5 heights on beds to 15 % and 1.75 above (from memory), if not given */
        apronRule?: "Heede" | "2 m of large stone" | "none" | null;
        /** [m] of the apron; 0.3 if not given */
        apronThicknessM?: number | null;
        /** [%] of rock lost and left over */
        wastagePct?: number | null;
        /** [m] one standard deviation of the sizes given; not known if not given */
        accuracyM?: number | null;
      } | null;
      /** your hours and costs, with a build; one for dam is for each dam of any size */
      rates?: ({
        /** what it is for, as the quantities name it */
        item: string;
        /** for one of which */
        unit: "m" | "km" | "m2" | "ha" | "m3" | "kg" | "t" | "each" | "h";
        /** in currency; not known if not given */
        costPerUnit?: number | null;
        /** [h] of work; not known if not given */
        hoursPerUnit?: number | null;
      })[] | null;
      /** [m] crest heights to lay out side by side; an empty list stands for 0.3, 0.4 and 0.5 */
      heightsM?: number[] | null;
      /** a set-up of the level: what to look for on the staff for each peg of the layout */
      setOut?: {
        /** [m] level of the line of sight, on the datum of the bed */
        instrumentLevelM: number;
        /** [m] longest reading of the staff; 5 if not given */
        staffLengthM?: number | null;
        /** what was read where a peg was tried */
        readings?: ({
          /** number of the dam, counted from 1, the lowest */
          dam: number;
          /** which of its pegs */
          spot: "toe" | "crest" | "abutment";
          /** [m] what was read on the staff */
          readM: number;
        })[] | null;
      } | null;
    };
    output: {
      /** from the lowest up */
      dams: {
        /** [m] of the toe, from the downstream end of the thalweg */
        chainageM: number;
        /** [m] one standard deviation; none when not known */
        chainagePlusMinusM?: number;
        /** [m] of the bed at the toe */
        bedLevelM: number;
        /** [m] bed level plus crest height */
        crestLevelM: number;
        /** why the dam is there: first, level with the crest below, good site, below a head, or above a reach without dams */
        stands: string;
        /** the same in a sentence */
        why: string;
        /** [m] height of its toe below the silt of the dam downstream, 0 where the two just meet */
        buriedM: number;
        /** [m] chainage up to which it guards the bed: where its silt ends, or the next toe */
        siltToM: number;
        /** [m] of the bed there, if it was given for the site */
        widthM?: number;
        /** [m] of the dam's ends: crest, head and freeboard; with a notch */
        abutmentLevelM?: number;
        /** [m] one standard deviation of that level; none when not known */
        abutmentPlusMinusM?: number;
        /** [m] of rock below the toe; with a build, as are those below */
        apronLengthM?: number;
        /** [m3] body, key, apron and wastage */
        rockM3?: number;
        /** [m3] one standard deviation; none when not known */
        rockPlusMinusM3?: number;
        /** [m3] trench to dig */
        keyM3?: number;
        /** [m2] netting */
        netM2?: number;
        /** number of posts */
        posts?: number;
        /** [m3] brush, packed */
        brushM3?: number;
        /** number of bales */
        bales?: number;
      }[];
      /** [m] horizontal, from each toe to the next */
      spacingsM: number[];
      /** [m] one standard deviation each; the whole list is left out when one of them is not known */
      spacingsPlusMinusM?: number[];
      /** number of dams */
      count: number;
      /** [m] the height used */
      crestHeightM: number;
      /** [%] the deposit slope used */
      depositSlopePct: number;
      /** [%] the limit for the slope of the bed used; none where there is none */
      maxBedSlopePct?: number;
      /** the points of the bed, from the downstream end up */
      bed: {
        /** [m] along the thalweg from its downstream end; this or position */
        chainageM?: number;
        /** [deg] longitude and latitude, WGS84; chainages are then geodesic lengths from the first */
        position?: [number, number];
        /** [m] level of the bed on the datum of the run */
        levelM: number;
      }[];
      /** [m] one standard deviation of a chainage of the bed; none when not known */
      chainagePlusMinusM?: number;
      /** [m] one standard deviation of each level of bed and crest; none when not known */
      levelPlusMinusM?: number;
      /** [m] length of bed, from the first toe up, that silt will cover */
      guardedM: number;
      /** [m] one standard deviation; none when not known */
      guardedPlusMinusM?: number;
      /** bed within reaches without dams that no silt will cover */
      bare: {
        /** [m] chainage where the silt from below ends */
        fromM: number;
        /** [m] chainage of the next toe, or of the end of the reach */
        toM: number;
        /** why no dam stands in it */
        why: string;
      }[];
      /** gully heads below which no dam could be put */
      unguarded: {
        /** [m] of the foot of its wall */
        chainageM: number;
        /** [m] from its lip down to the foot */
        depthM: number;
        /** why no dam stands below it */
        why: string;
      }[];
      /** what the levels come from */
      basis: string;
      /** of every dam, if a notch was given */
      notch?: {
        /** [m] of the peak flow above the bottom of the notch, which is the crest */
        headM: number;
        /** [m] one standard deviation; none when not known */
        headPlusMinusM?: number;
        /** [m] from the water up to the dam's ends */
        freeboardM: number;
        /** [m] of the ends above the crest: head and freeboard */
        abutmentHeightM: number;
        /** [m] one standard deviation; none when not known */
        abutmentPlusMinusM?: number;
        /** [m] along the crest */
        notchLengthM: number;
      };
      /** what all dams take, if a build was given */
      bill?: {
        /** [m3] body, keys, aprons and wastage */
        rockM3: number;
        /** [m3] one standard deviation, the sizes being shared by all dams; none when not known */
        rockPlusMinusM3?: number;
        /** [h] of what has a rate for hours */
        hours?: number;
        /** [h] one standard deviation from the quantities alone; none when not known */
        hoursPlusMinus?: number;
        /** of what has a rate for cost, in your currency */
        cost?: number;
        /** one standard deviation from the quantities alone; none when not known */
        costPlusMinus?: number;
        /** item by item */
        rows: {
          /** what is needed */
          item: string;
          /** how much, in the row's unit */
          quantity: number;
          /** one standard deviation in the row's unit; none when not known */
          plusMinus?: number;
          /** of the quantity */
          unit: string;
          /** [h] by the rate */
          hours?: number;
          /** by the rate */
          cost?: number;
          /** which rate is lacking */
          note?: string;
        }[];
        /** items without a rate: the sums lack them */
        unpriced: string[];
      };
      /** side by side, if heightsM was given */
      layouts?: {
        /** [m] of its dams */
        crestHeightM: number;
        /** number of dams */
        count: number;
        /** [m] length of bed that silt will cover */
        guardedM: number;
        /** [m] one standard deviation; none when not known */
        guardedPlusMinusM?: number;
        /** what its dams take, if a build was given */
        bill?: {
          /** [m3] body, keys, aprons and wastage */
          rockM3: number;
          /** [m3] one standard deviation, the sizes being shared by all dams; none when not known */
          rockPlusMinusM3?: number;
          /** [h] of what has a rate for hours */
          hours?: number;
          /** [h] one standard deviation from the quantities alone; none when not known */
          hoursPlusMinus?: number;
          /** of what has a rate for cost, in your currency */
          cost?: number;
          /** one standard deviation from the quantities alone; none when not known */
          costPlusMinus?: number;
          /** item by item */
          rows: {
            /** what is needed */
            item: string;
            /** how much, in the row's unit */
            quantity: number;
            /** one standard deviation in the row's unit; none when not known */
            plusMinus?: number;
            /** of the quantity */
            unit: string;
            /** [h] by the rate */
            hours?: number;
            /** by the rate */
            cost?: number;
            /** which rate is lacking */
            note?: string;
          }[];
          /** items without a rate: the sums lack them */
          unpriced: string[];
        };
        /** from the lowest up */
        dams: {
          /** [m] of the toe, from the downstream end of the thalweg */
          chainageM: number;
          /** [m] one standard deviation; none when not known */
          chainagePlusMinusM?: number;
          /** [m] of the bed at the toe */
          bedLevelM: number;
          /** [m] bed level plus crest height */
          crestLevelM: number;
          /** why the dam is there: first, level with the crest below, good site, below a head, or above a reach without dams */
          stands: string;
          /** the same in a sentence */
          why: string;
          /** [m] height of its toe below the silt of the dam downstream, 0 where the two just meet */
          buriedM: number;
          /** [m] chainage up to which it guards the bed: where its silt ends, or the next toe */
          siltToM: number;
          /** [m] of the bed there, if it was given for the site */
          widthM?: number;
          /** [m] of the dam's ends: crest, head and freeboard; with a notch */
          abutmentLevelM?: number;
          /** [m] one standard deviation of that level; none when not known */
          abutmentPlusMinusM?: number;
          /** [m] of rock below the toe; with a build, as are those below */
          apronLengthM?: number;
          /** [m3] body, key, apron and wastage */
          rockM3?: number;
          /** [m3] one standard deviation; none when not known */
          rockPlusMinusM3?: number;
          /** [m3] trench to dig */
          keyM3?: number;
          /** [m2] netting */
          netM2?: number;
          /** number of posts */
          posts?: number;
          /** [m3] brush, packed */
          brushM3?: number;
          /** number of bales */
          bales?: number;
        }[];
      }[];
      /** the layouts in plain words; which matters most is for you to say */
      compare?: string[];
      /** pegs of the first layout, if a set-up was given */
      setOut?: {
        /** number of the dam, counted from 1, the lowest */
        dam: number;
        /** toe, crest or abutment */
        spot: string;
        /** [m] to set out */
        levelM: number;
        /** [m] to look for on the staff */
        readingM?: number;
        /** [m] one standard deviation, of the two levels it lies between; none when not known */
        readingPlusMinusM?: number;
        /** why there is no reading, and what to do */
        cannot?: string;
        /** [m] as read */
        readM?: number;
        /** [m] how far the foot of the staff is above the level; minus is below */
        offM?: number;
        /** which way the foot of the staff must go: up when the reading is too great */
        move?: string;
      }[];
      /** how many dams other rules for the deposit slope lead to */
      handbooks: {
        /** what the deposit slope is taken as */
        rule: string;
        /** [%] by that rule, from the mean slope of the whole bed */
        depositSlopePct: number;
        /** number of dams */
        count: number;
        /** where it comes from */
        source: string;
      }[];
      /** what to watch for on the ground */
      cautions: {
        /** the figure, field or check it is tied to, empty for the whole */
        about: string;
        /** the sentence */
        text: string;
      }[];
    };
  };
  /** whether each dam's crest is level with the toe of the next one upstream */
  "dam-check": {
    input: {
      /** surveyed points of the bed from the downstream end up; needed for dams without a toe level */
      bed?: ({
        /** [m] along the thalweg from its downstream end; this or position */
        chainageM?: number | null;
        /** [deg] longitude and latitude, WGS84; chainages are then geodesic lengths from the first */
        position?: [number, number] | null;
        /** [m] level of the bed on the datum of the run */
        levelM: number;
      })[] | null;
      /** the dams, in any order */
      dams: ({
        /** what the dam is called; its place in the list if not given */
        name?: string | null;
        /** [m] of its toe, along the thalweg from the downstream end */
        chainageM: number;
        /** [m] level of its downstream foot; that of the bed there if not given */
        toeLevelM?: number | null;
        /** [m] level of the lowest point of its top */
        crestLevelM: number;
        /** what its two levels come from, if not what the others do */
        basis?: "levelled" | "taped" | "GPS" | "drawn on the map" | "estimated" | "from plan" | "not recorded" | "unproven" | null;
      })[];
      /** [m] step that still counts as level; 0.05 if not given */
      toleranceM?: number | null;
      /** [%] slope that silt settles at; 0, level, if not given */
      depositSlopePct?: number | null;
      /** what the levels come from: levelled if not given; only levelled ones can pass or fail a check */
      basis?: "levelled" | "taped" | "GPS" | "drawn on the map" | "estimated" | "from plan" | "not recorded" | "unproven" | null;
      /** [m] one standard deviation of a level; 0.005 for levelled ones, else not known */
      levelPlusMinusM?: number | null;
      /** [m] one standard deviation of a chainage; 0.05, a tape's, if not given; not known for positions */
      chainagePlusMinusM?: number | null;
    };
    output: {
      /** neighbouring dams, from the lowest up */
      pairs: {
        /** the dam downstream */
        lower: string;
        /** the next dam upstream */
        upper: string;
        /** [m] horizontal, toe to toe */
        spacingM: number;
        /** [m] one standard deviation; none when not known */
        spacingPlusMinusM?: number;
        /** [m] level of the upper toe less that of the lower crest, less the deposit's rise between */
        stepM: number;
        /** [m] one standard deviation; none when not known */
        stepPlusMinusM?: number;
        /** level; gap where the upper toe is too high; hump where the surveyed bed between is above the lower dam's silt and the upper toe; drowned where the upper toe is too low; not levelled where the levels do not come from a closed run */
        verdict: string;
        /** what the step rests on */
        basis: string;
        /** where the surveyed bed between the two rises above the lower dam's silt and the upper toe; none where it does not */
        hump?: {
          /** [m] where */
          chainageM: number;
          /** [m] above the crest below and the deposit's rise to there */
          aboveM: number;
        };
      }[];
      /** the pair that does most harm: the highest fall over a gap or off a hump, which scours, before any drowned toe, which does not; none for fewer than two dams */
      worst?: {
        /** the dam downstream */
        lower: string;
        /** the next dam upstream */
        upper: string;
        /** [m] horizontal, toe to toe */
        spacingM: number;
        /** [m] one standard deviation; none when not known */
        spacingPlusMinusM?: number;
        /** [m] level of the upper toe less that of the lower crest, less the deposit's rise between */
        stepM: number;
        /** [m] one standard deviation; none when not known */
        stepPlusMinusM?: number;
        /** level; gap where the upper toe is too high; hump where the surveyed bed between is above the lower dam's silt and the upper toe; drowned where the upper toe is too low; not levelled where the levels do not come from a closed run */
        verdict: string;
        /** what the step rests on */
        basis: string;
        /** where the surveyed bed between the two rises above the lower dam's silt and the upper toe; none where it does not */
        hump?: {
          /** [m] where */
          chainageM: number;
          /** [m] above the crest below and the deposit's rise to there */
          aboveM: number;
        };
      };
      /** what to watch for on the ground */
      cautions: {
        /** the figure, field or check it is tied to, empty for the whole */
        about: string;
        /** the sentence */
        text: string;
      }[];
    };
  };
  /** time of concentration of a catchment, by five formulas side by side */
  "time-of-concentration": {
    input: {
      /** the formula */
      method: "kirpich" | "bransby-williams" | "pilgrim-mcdermott" | "friend" | "kinematic";
      /** [m] longest path of the water; all but pilgrim-mcdermott need it */
      lengthM?: number | null;
      /** [m] one standard deviation; not known if not given */
      lengthPlusMinusM?: number | null;
      /** [%] of that path, by equal areas for bransby-williams; all but pilgrim-mcdermott need it */
      slopePct?: number | null;
      /** [%] one standard deviation; not known if not given */
      slopePlusMinusPct?: number | null;
      /** [har] of the catchment, for bransby-williams and pilgrim-mcdermott */
      areaHa?: number | null;
      /** [har] one standard deviation; not known if not given */
      areaPlusMinusHa?: number | null;
      /** constant of bransby-williams in km, km2 and m/km: one of the two roundings in use, or the form of 1922 converted; 58 if not given */
      bransbyConstant?: "58" | "58.5" | "1922" | null;
      /** of the ground, for friend; or give hortonN */
      surface?: "bare" | "poor grass" | "average grass" | "dense grass" | null;
      /** Horton's roughness, for friend; not Manning's */
      hortonN?: number | null;
      /** one standard deviation; not known if not given */
      hortonNPlusMinus?: number | null;
      /** Manning's roughness of the ground under sheet flow, for kinematic */
      manningN?: number | null;
      /** one standard deviation; not known if not given */
      manningNPlusMinus?: number | null;
      /** rows of the place's table for one event, the shortest duration first */
      durations?: {
        /** [min] duration of the rain */
        minutes: number;
        /** [mm/h] mean intensity over that duration, not the depth */
        intensityMmH: number;
      }[] | null;
      /** how to read between two durations; log-log if not given */
      between?: "log-log" | "straight intensity" | "straight depth" | null;
      /** what the table is for, as it says: 10 % AEP, 1 in 10 years */
      event?: string | null;
      /** when the table was issued: 2016, 2016-11 or 2016-11-30 */
      tableDate?: string | null;
    };
    output: {
      /** [min] time of concentration */
      minutes: number;
      /** [min] one standard deviation from what was measured, the formula's own error not counted; none when not known */
      plusMinusMin?: number;
      /** the formula used */
      method: string;
      /** the country and the flow it was made for */
      madeFor: string;
      /** where it comes from */
      source: string;
      /** [mm/h] the rain the kinematic wave settled on */
      intensityMmH?: number;
      /** [har] as given */
      areaHa?: number;
      /** [har] as given */
      areaPlusMinusHa?: number;
      /** rows of the place's table for one event, the shortest duration first */
      durations?: {
        /** [min] duration of the rain */
        minutes: number;
        /** [mm/h] mean intensity over that duration, not the depth */
        intensityMmH: number;
      }[];
      /** how to read between two durations; log-log if not given */
      between?: "log-log" | "straight intensity" | "straight depth";
      /** what the table is for, as it says: 10 % AEP, 1 in 10 years */
      event?: string;
      /** when the table was issued: 2016, 2016-11 or 2016-11-30 */
      tableDate?: string;
      /** by each other method that the inputs allow */
      others: {
        /** the formula */
        method: string;
        /** [min] by it */
        minutes: number;
        /** [min] one standard deviation from what was measured; none when not known */
        plusMinusMin?: number;
        /** the country and the flow it was made for */
        madeFor: string;
        /** where it comes from */
        source: string;
      }[];
      /** [min] of all that could be calculated */
      shortestMin: number;
      /** [min] of all that could be calculated */
      longestMin: number;
      /** the methods that these inputs do not allow */
      notWorkedOut: {
        /** the formula */
        method: string;
        /** what is missing or out of its range */
        field: string;
        /** why */
        reason: string;
      }[];
      /** what to watch for */
      cautions: {
        /** the figure, field or check it is tied to, empty for the whole */
        about: string;
        /** the sentence */
        text: string;
      }[];
    };
  };
  /** the peak of a design storm from a small catchment, by the rational method */
  "peak-flow": {
    input: {
      /** [har] of the catchment, on the map; or give parts */
      areaHa?: number | null;
      /** [har] one standard deviation; not known if not given */
      areaPlusMinusHa?: number | null;
      /** share of the rain's rate that runs off; or name a table */
      coefficient?: number | null;
      /** one standard deviation; of a table that gives a range, range/√12; not known otherwise */
      coefficientPlusMinus?: number | null;
      /** published table to take the coefficient from: land-by-slope-and-soil by Schwab and others, bare-and-grazed-ground by the California Clean Water Team; neither knows scalded or degraded ground */
      table?: "land-by-slope-and-soil" | "bare-and-grazed-ground" | null;
      /** row of the table; bare ground is in bare-and-grazed-ground alone, cultivated in land-by-slope-and-soil */
      cover?: "pasture" | "woodland" | "cultivated" | "bare smooth" | "bare rough" | null;
      /** column of the table: the first three of land-by-slope-and-soil, the last two of bare-and-grazed-ground */
      soil?: "open sandy loam" | "clay and silt loam" | "tight clay" | "heavy" | "sandy" | null;
      /** [%] of the land, for land-by-slope-and-soil */
      slopePct?: number | null;
      /** pieces of the catchment that shed differently, instead of areaHa and one coefficient */
      parts?: ({
        /** [har] of this part, on the map */
        areaHa: number;
        /** [har] one standard deviation; not known if not given */
        areaPlusMinusHa?: number | null;
        /** share of the rain's rate that runs off; or name a table */
        coefficient?: number | null;
        /** one standard deviation; of a table that gives a range, range/√12; not known otherwise */
        coefficientPlusMinus?: number | null;
        /** published table to take the coefficient from: land-by-slope-and-soil by Schwab and others, bare-and-grazed-ground by the California Clean Water Team; neither knows scalded or degraded ground */
        table?: "land-by-slope-and-soil" | "bare-and-grazed-ground" | null;
        /** row of the table; bare ground is in bare-and-grazed-ground alone, cultivated in land-by-slope-and-soil */
        cover?: "pasture" | "woodland" | "cultivated" | "bare smooth" | "bare rough" | null;
        /** column of the table: the first three of land-by-slope-and-soil, the last two of bare-and-grazed-ground */
        soil?: "open sandy loam" | "clay and silt loam" | "tight clay" | "heavy" | "sandy" | null;
        /** [%] of the land, for land-by-slope-and-soil */
        slopePct?: number | null;
      })[] | null;
      /** the text whose limit applies; 25 km2, the widest, if not given */
      areaLimit?: "20 acres" | "12 km2" | "25 km2" | null;
      /** [mm/h] of the design storm over the time of concentration; or give durations */
      intensityMmH?: number | null;
      /** [%] one standard deviation of the table's intensities; not known if not given */
      intensityPlusMinusPct?: number | null;
      /** [min] duration to read durations at */
      timeOfConcentrationMin?: number | null;
      /** [min] one standard deviation; not known if not given */
      timeOfConcentrationPlusMinusMin?: number | null;
      /** rows of the place's table for one event, the shortest duration first */
      durations?: {
        /** [min] duration of the rain */
        minutes: number;
        /** [mm/h] mean intensity over that duration, not the depth */
        intensityMmH: number;
      }[] | null;
      /** how to read between two durations; log-log if not given */
      between?: "log-log" | "straight intensity" | "straight depth" | null;
      /** what the table is for, as it says: 10 % AEP, 1 in 10 years */
      event?: string | null;
      /** when the table was issued: 2016, 2016-11 or 2016-11-30 */
      tableDate?: string | null;
    };
    output: {
      /** [m3/s] peak */
      flowM3S: number;
      /** [m3/s] one standard deviation, from the inputs alone; none when not known */
      flowPlusMinusM3S?: number;
      /** [mm/h] the intensity used */
      intensityMmH: number;
      /** [mm/h] one standard deviation; none when not known */
      intensityPlusMinusMmH?: number;
      /** [min] the duration it was read at */
      durationMin?: number;
      /** [har] of the whole catchment */
      areaHa: number;
      /** [har] one standard deviation; none when not known */
      areaPlusMinusHa?: number;
      /** the coefficient used, weighted by area */
      coefficient: number;
      /** one standard deviation; none when not known */
      coefficientPlusMinus?: number;
      /** the pieces, as used */
      parts: {
        /** [har] of this part */
        areaHa: number;
        /** the middle where the source gives a range */
        coefficient: number;
        /** one standard deviation; none when not known */
        coefficientPlusMinus?: number;
        /** the least the source gives */
        low: number;
        /** the most the source gives */
        high: number;
        /** whose coefficient it is */
        source: string;
      }[];
      /** what the other ways of reading between durations lead to */
      otherReadings: {
        /** how it was read */
        between: string;
        /** [mm/h] read that way */
        intensityMmH: number;
        /** [m3/s] and the peak it gives */
        flowM3S: number;
      }[];
      /** as given */
      event?: string;
      /** as given */
      tableDate?: string;
      /** what to watch for */
      cautions: {
        /** the figure, field or check it is tied to, empty for the whole */
        about: string;
        /** the sentence */
        text: string;
      }[];
    };
  };
  /** the flow that left a flood mark in a plain channel, or how deep and fast a flow runs */
  "channel-flow": {
    input: {
      /** [m] of the level bottom; 0 where the sides meet */
      bedWidthM: number;
      /** [m] one standard deviation; not known if not given */
      bedWidthPlusMinusM?: number | null;
      /** lean of both sides; 0 is upright */
      sideRunPerRise: number;
      /** [%] of the water's surface along the reach, or of the bed */
      slopePct: number;
      /** [%] one standard deviation; not known if not given */
      slopePlusMinusPct?: number | null;
      /** named roughness; or give manningN */
      lining?: "straight earth" | "clean straight stream" | "short grass" | "high grass" | "light brush" | null;
      /** Manning's roughness */
      manningN?: number | null;
      /** one standard deviation; of a named one with a range, range/√12; not known otherwise */
      manningNPlusMinus?: number | null;
      /** [m] of the water, or of a flood mark above the bed; give this or flowM3S, and the other is calculated */
      depthM?: number | null;
      /** [m] one standard deviation; not known if not given */
      depthPlusMinusM?: number | null;
      /** [m3/s] the flow */
      flowM3S?: number | null;
      /** [m3/s] one standard deviation; not known if not given */
      flowPlusMinusM3S?: number | null;
    };
    output: {
      /** [m] of the water */
      depthM: number;
      /** [m] one standard deviation; none when not known */
      depthPlusMinusM?: number;
      /** [m3/s] the flow */
      flowM3S: number;
      /** [m3/s] one standard deviation; none when not known */
      flowPlusMinusM3S?: number;
      /** [m/s] mean */
      velocityMS: number;
      /** [m2] of the water across the channel */
      areaM2: number;
      /** [m] wetted perimeter */
      wettedM: number;
      /** [m] area over wetted perimeter */
      hydraulicRadiusM: number;
      /** [m] of the surface */
      waterWidthM: number;
      /** the roughness used */
      manningN: number;
      /** whose it is */
      roughnessSource: string;
      /** what to watch for */
      cautions: {
        /** the figure, field or check it is tied to, empty for the whole */
        about: string;
        /** the sentence */
        text: string;
      }[];
    };
  };
  /** how much of a storm runs off pasture in each condition of its cover, by curve number */
  "storm-runoff": {
    input: {
      /** [mm] depth of the storm */
      rainMm: number;
      /** [mm] one standard deviation; not known if not given */
      rainPlusMinusMm?: number | null;
      /** a curve number of the officer's own; or give soilGroup with coverPct or condition */
      curveNumber?: number | null;
      /** one standard deviation; not known if not given */
      curveNumberPlusMinus?: number | null;
      /** hydrologic soil group, from A that drains freely to D that seals or swells */
      soilGroup?: "A" | "B" | "C" | "D" | null;
      /** [%] ground cover of pasture: under 50 is poor, over 75 good */
      coverPct?: number | null;
      /** instead of coverPct; heavily grazed pasture is poor at any cover */
      condition?: "poor" | "fair" | "good" | "dirt road" | null;
      /** [har] of the land, for the volume */
      areaHa?: number | null;
    };
    output: {
      /** [mm] depth that runs off */
      runoffMm: number;
      /** [mm] one standard deviation; none when not known */
      runoffPlusMinusMm?: number;
      /** [m3] over areaHa */
      volumeM3?: number;
      /** [mm] the most that the ground retains once rain runs off */
      retentionMm: number;
      /** the curve number used */
      curveNumber: number;
      /** the condition it belongs to */
      condition?: string;
      /** the same storm on the same soil in each condition */
      byCondition: {
        /** of pasture, or a dirt road */
        condition: string;
        /** its curve number */
        curveNumber: number;
        /** [mm] what runs off it */
        runoffMm: number;
      }[];
      /** what to watch for */
      cautions: {
        /** the figure, field or check it is tied to, empty for the whole */
        about: string;
        /** the sentence */
        text: string;
      }[];
    };
  };
  /** how deep the peak flow stands in a dam's notch, and how high its ends must be */
  "notch": {
    input: {
      /** [m3/s] peak flow; give two of flowM3S, headM and crestLengthM, and the third is calculated */
      flowM3S?: number | null;
      /** [m3/s] one standard deviation; not known if not given */
      flowPlusMinusM3S?: number | null;
      /** [m] depth of the water above the bottom of the notch, a little upstream */
      headM?: number | null;
      /** [m] one standard deviation; not known if not given */
      headPlusMinusM?: number | null;
      /** [m] length of the notch's level bottom */
      crestLengthM?: number | null;
      /** [m] one standard deviation; not known if not given */
      crestLengthPlusMinusM?: number | null;
      /** lean of the notch's sides, outwards; 0, upright, if not given */
      sideRunPerRise?: number | null;
      /** named discharge coefficient; loose rock, the lower, if not given */
      weir?: "loose rock" | "broad crest" | null;
      /** [m0.5/s] discharge coefficient in metres instead of a named one */
      coefficient?: number | null;
      /** [m0.5/s] one standard deviation; of a named coefficient 0.016, of another not known if not given */
      coefficientPlusMinus?: number | null;
      /** [m] from the water up to the dam's ends; 0.15 if not given */
      freeboardM?: number | null;
      /** [m] width of the gully's bottom at the dam */
      gullyBottomM?: number | null;
      /** [m] how far the lower end of a standing dam rises above the bottom of its notch: it is then checked */
      endsAboveCrestM?: number | null;
    };
    output: {
      /** [m] of the water above the bottom of the notch */
      headM: number;
      /** [m] one standard deviation; none when not known */
      headPlusMinusM?: number;
      /** [m3/s] over the notch */
      flowM3S: number;
      /** [m3/s] one standard deviation; none when not known */
      flowPlusMinusM3S?: number;
      /** [m] of the notch's level bottom */
      crestLengthM: number;
      /** [m] one standard deviation; none when not known */
      crestLengthPlusMinusM?: number;
      /** [m] of the dam's ends above the bottom of the notch: head and freeboard */
      abutmentHeightM: number;
      /** [m] one standard deviation; none when not known */
      abutmentPlusMinusM?: number;
      /** [m] the freeboard used */
      freeboardM: number;
      /** [m] of the water's surface at the head */
      waterWidthM: number;
      /** [m] of the notch at the height of the ends */
      notchWidthM: number;
      /** [m] of the water on the crest */
      criticalDepthM: number;
      /** [m/s] mean, on the crest */
      velocityMS: number;
      /** [m2/s] flow over the mean width of the water on the crest */
      flowPerMetreM2S: number;
      /** [m0.5/s] the discharge coefficient used */
      coefficient: number;
      /** whose it is */
      coefficientSource: string;
      /** whether the standing ends are high enough, if endsAboveCrestM was given */
      endsHold?: boolean;
      /** [m] how much they lack */
      endsLackM?: number;
      /** what to watch for on the ground */
      cautions: {
        /** the figure, field or check it is tied to, empty for the whole */
        about: string;
        /** the sentence */
        text: string;
      }[];
    };
  };
  /** what a low porous dam takes to build: rock, netting and posts, brush or bales */
  "rock-dam": {
    input: {
      /** what the dam is built from; loose rock if not given */
      material?: "loose rock" | "netting and posts" | "brushwood" | "hay bales" | null;
      /** [m] from the bed at the downstream toe to the notch; usually 0.3 to 0.5, at most 1 */
      crestHeightM: number;
      /** [m] the gully across the dam as offset and level of each point, from the left bank to the right; this or bedWidthM with the banks */
      section?: [number, number][] | null;
      /** [m] width of the bed */
      bedWidthM?: number | null;
      /** slope of the left bank, 1 in this; upright if not given */
      leftRunPerRise?: number | null;
      /** slope of the right bank, 1 in this; upright if not given */
      rightRunPerRise?: number | null;
      /** [%] slope of the bed going upstream; taken as level if not given, which counts too much rock */
      bedSlopePct?: number | null;
      /** [m] along the stream, at the shoulders; between two fences or two rows of stakes, from one to the other */
      crestBreadthM?: number | null;
      /** slope of the upstream face, 1 in this; upright if not given */
      upstreamRunPerRise?: number | null;
      /** slope of the downstream face, 1 in this; upright if not given */
      downstreamRunPerRise?: number | null;
      /** [m] from the shoulders down to the lowest part of the crest; no notch if not given */
      notchDepthM?: number | null;
      /** [m] of the notch, across the gully */
      notchLengthM?: number | null;
      /** [m] of the trench that lets the dam into bed and banks, plumb; none if not given */
      keyDepthM?: number | null;
      /** [m] of the trench, along the stream */
      keyWidthM?: number | null;
      /** [m] of the trench beyond the shoulders, into each bank */
      keyIntoBankM?: number | null;
      /** how steeply the stone lies, and whose rule; the steepest of them all bounds the faces if not given */
      stone?: "very angular" | "slightly angular" | "moderately rounded" | "angular, by Heede" | "rounded" | "round, by Heede" | "any, by county manuals" | null;
      /** whose limit for the height to keep to; 1 m is the limit of all */
      heightRule?: "Jepson" | "Australian fact sheets" | "STEP" | "Wisconsin DNR" | "FAO" | null;
      /** how far rock is laid below the toe, and whose rule; Heede if not given */
      apronRule?: "Heede" | "2 m of large stone" | "none" | null;
      /** [m] of the apron along the stream; by the rule if not given */
      apronLengthM?: number | null;
      /** [m] of the apron across; that of the bed, or of the notch if longer, if not given */
      apronWidthM?: number | null;
      /** [m] of the apron; 0.3 if not given */
      apronThicknessM?: number | null;
      /** [%] rock lost and left over, of all rock; none if not given */
      wastagePct?: number | null;
      /** [t/m3] of rock as it lies in the dam; no tonnes if not given */
      bulkTonnesPerM3?: number | null;
      /** [har] above the dam; bounds where bales may stand */
      catchmentHa?: number | null;
      /** [m3/s] over the notch, to size the stone of the face and the apron by; not sized if not given */
      flowM3S?: number | null;
      /** of a dam of netting and posts */
      fences?: {
        /** 2 with the rock between them, 1 with the rock heaped upstream; 2 if not given */
        count?: number | null;
        /** [m] most between posts; 1.2 if not given */
        postSpacingM?: number | null;
        /** [m] length of a post in the ground; 0.6 if not given */
        postIntoGroundM?: number | null;
        /** [m] up each post, between wires that tie the fences; 0.3 if not given */
        tieEveryM?: number | null;
        /** [%] netting lost where rolls meet; 10 if not given */
        netOverlapPct?: number | null;
      } | null;
      /** of a dam of brushwood */
      brush?: {
        /** [m] most between stakes of a row; 0.5 if not given */
        stakeSpacingM?: number | null;
        /** [m] length of a stake in the ground; 0.5 if not given */
        stakeIntoGroundM?: number | null;
        /** [m] of a bundle as it lies tied; no bundles are counted if not given */
        bundleDiameterM?: number | null;
        /** [m] of a bundle */
        bundleLengthM?: number | null;
      } | null;
      /** of a dam of hay bales, which needs it */
      bale?: {
        /** [m] of a bale as it lies */
        heightM: number;
        /** [m] along the stream */
        widthM: number;
        /** [m] across the gully */
        lengthM: number;
        /** [m] how deep it is let into the ground; 0.15 if not given */
        embedM?: number | null;
        /** through each bale; 2 if not given */
        stakesEach?: number | null;
      } | null;
      /** [m] one standard deviation of each size and offset given; not known if not given */
      accuracyM?: number | null;
      /** what the sizes of the gully come from; taped if not given */
      basis?: "levelled" | "taped" | "GPS" | "drawn on the map" | "estimated" | "from plan" | "not recorded" | "unproven" | null;
    };
    output: {
      /** what the dam is built from */
      material: string;
      /** [m] from the bed to the shoulders */
      totalHeightM: number;
      /** [m] from bank to bank along the shoulders, keys not counted */
      crestLengthM: number;
      /** [m] along the stream over the lowest point of the bed */
      baseBreadthM: number;
      /** [m3] of the body before the notch is subtracted */
      fillM3: number;
      /** [m3] subtracted from the body */
      notchM3: number;
      /** [m3] rock in the body */
      rockM3: number;
      /** [m3] one standard deviation; none when not known */
      rockPlusMinusM3?: number;
      /** [m3] trench to dig; filled with rock or brush as the dam is */
      keyM3: number;
      /** [m3] one standard deviation; none when not known */
      keyPlusMinusM3?: number;
      /** [m3] rock below the toe */
      apronM3: number;
      /** [m3] one standard deviation; none when not known */
      apronPlusMinusM3?: number;
      /** [m] along the stream */
      apronLengthM: number;
      /** [m] across the stream */
      apronWidthM: number;
      /** [m3] rock lost and left over */
      wastageM3: number;
      /** [m3] body, key, apron and wastage: what to cart */
      totalRockM3: number;
      /** [m3] one standard deviation; none when not known */
      totalRockPlusMinusM3?: number;
      /** [t] of all rock; none without its bulk density */
      rockTonnes?: number;
      /** [m2] netting with its foot in the key and its overlap */
      netM2?: number;
      /** [m2] one standard deviation; none when not known */
      netPlusMinusM2?: number;
      /** in all fences */
      posts?: number;
      /** [m] of a post with what is in the ground */
      postLengthM?: number;
      /** wires between two fences */
      ties?: number;
      /** [m] wire for them, there and back */
      tieWireM?: number;
      /** [m3] brush as packed, in body and key; a loose heap is more */
      brushM3?: number;
      /** [m3] one standard deviation; none when not known */
      brushPlusMinusM3?: number;
      /** of brush; none without their size */
      bundles?: number;
      /** in two rows, or through the bales */
      stakes?: number;
      /** [m] of a stake of a row with what is in the ground */
      stakeLengthM?: number;
      /** in one row, those at the ends included */
      bales?: number;
      /** the same as a list to be priced by the computation quantities */
      items: {
        /** what is counted */
        item: string;
        /** in which unit */
        unit: string;
        /** how much of it */
        quantity: number;
        /** one standard deviation in the same unit; none when not known */
        plusMinus?: number;
      }[];
      /** whether each handbook that speaks of this kind would have it so high */
      heightRules: {
        /** its name */
        rule: string;
        /** [m] highest notch above the bed */
        maxM: number;
        /** whether the dam is no higher */
        within: boolean;
        /** where it comes from */
        source: string;
      }[];
      /** what each handbook would build it of; none for brush and bales */
      stoneSizes: {
        /** [mm] smallest stone */
        minMM: number;
        /** [mm] largest stone; none named if missing */
        maxMM?: number;
        /** in words */
        advice: string;
        /** who advises it */
        source: string;
      }[];
      /** [mm] median stone of the downstream face by the flow at the face's own slope, a factor of 1.2 included; none without a flow, on an upright face, and on one steeper than 40 % */
      faceStoneMM?: number;
      /** which rule sized it */
      faceStoneRule?: "rock chute" | "foot of the fall";
      /** [mm] median stone of the apron: that of the face, carried on, or where the face is upright or steeper than 40 % by the speed at the foot of the fall; a factor of 1.2 included; none without a flow */
      apronStoneMM?: number;
      /** which rule sized it */
      apronStoneRule?: "rock chute" | "foot of the fall";
      /** what the figures come from */
      basis: string;
      /** what to watch for on the ground */
      cautions: {
        /** the figure, field or check it is tied to, empty for the whole */
        about: string;
        /** the sentence */
        text: string;
      }[];
    };
  };
  /** where whoa-boys go on a surveyed track, by its real falls and a named table */
  "whoa-boys": {
    input: {
      /** surveyed points along the track, lowest chainage first, at least two */
      track: ({
        /** [m] along the track from one end of the survey; this or position */
        chainageM?: number | null;
        /** [deg] longitude and latitude, WGS84; chainages are then geodesic lengths from the first */
        position?: [number, number] | null;
        /** [m] level of the middle of the track on the datum of the run */
        levelM: number;
      })[];
      /** whose spacings; they differ threefold and are never blended */
      table: "water-bars-two-soils" | "dips-and-culverts" | "water-bars-by-class" | "legal-maximum-by-hazard" | "water-bars-one-soil" | "broad-based-dips" | "local";
      /** column of that table: water-bars-two-soils general, highly erodible; dips-and-culverts and water-bars-by-class low to non-erosive, erosive; legal-maximum-by-hazard extreme, high, moderate, low hazard; broad-based-dips near end of range, far end of range; the others have one column */
      soil?: "general" | "highly erodible" | "low to non-erosive" | "erosive" | "extreme" | "high" | "moderate" | "low" | "near end of range" | "far end of range" | null;
      /** what applies between two printed grades: the steeper row if not given, since no table says otherwise */
      between?: "steeper" | "straight line" | "log-log" | null;
      /** the local table, gentlest grade first */
      rows?: {
        /** [%] steepest grade of the row, which begins where the one before ends */
        upToPct: number;
        /** [m] farthest that banks may stand apart */
        spacingM: number;
      }[] | null;
      /** who published the local table */
      rowsSource?: string | null;
      /** safe side for water, looking down the track; either if not given */
      side?: "left" | "right" | "either" | "none" | null;
      /** reaches with another safe side; they may touch, not overlap */
      sides?: ({
        /** [m] chainage at which the reach begins */
        fromM: number;
        /** [m] chainage at which it ends */
        toM: number;
        /** safe side, looking down the track */
        side: "left" | "right" | "either" | "none";
        /** why that side */
        why?: string | null;
      })[] | null;
      /** reaches in which no water may be let out */
      noOutlet?: ({
        /** [m] chainage at which the reach begins */
        fromM: number;
        /** [m] chainage at which it ends */
        toM: number;
        /** side on which no water may be let out; both if not given */
        side?: "left" | "right" | "either" | null;
        /** what lies there: another bank's catch, a shed, a neighbour */
        why?: string | null;
      })[] | null;
      /** gully heads near the track */
      gullyHeads?: ({
        /** what it is called; its place in the list if not given */
        name?: string | null;
        /** [m] of the place on the track square to it; this or position */
        chainageM?: number | null;
        /** [m] from that place; 0, on the track, if not given */
        offsetM?: number | null;
        /** on which it lies, looking down the track; both are kept clear if not given */
        side?: "left" | "right" | null;
        /** [deg] longitude and latitude, WGS84, for a track surveyed by positions */
        position?: [number, number] | null;
        /** [m] level of its lip on the track's datum: a head above the track takes none of its water */
        lipLevelM?: number | null;
        /** [m] one standard deviation of its place; not known if not given */
        plusMinusM?: number | null;
      })[] | null;
      /** [m] how far an outlet is kept from a gully head and from a lower limb of the track, on its side; 30 if not given */
      clearanceM?: number | null;
      /** [m] least rise of the track that parts its water; 0.15 if not given */
      humpM?: number | null;
      /** what the levels come from: levelled if not given; only levelled ones can pass or fail a check */
      basis?: "levelled" | "taped" | "GPS" | "drawn on the map" | "estimated" | "from plan" | "not recorded" | "unproven" | null;
      /** [m] one standard deviation of a level; 0.005 for levelled ones, else not known */
      levelPlusMinusM?: number | null;
      /** [m] one standard deviation of a chainage; 0.05, a tape's, if not given; not known for positions */
      chainagePlusMinusM?: number | null;
      /** [deg] between bank and track; 45 if not given, guides say 45 to 60 */
      angleDeg?: number | null;
      /** [m] width of the tread, for the length of a bank */
      trackWidthM?: number | null;
      /** [m] how far a bank reaches past each edge; 0.3 if not given */
      pastEdgeM?: number | null;
      /** length along the bank for each metre that it falls to its outlet, as 300 */
      oneIn?: number | null;
      /** [m] height wanted once the bank has settled */
      settledHeightM?: number | null;
      /** [%] of the height as built that traffic and rain take; 0 if not given */
      settlePct?: number | null;
    };
    output: {
      /** by growing chainage */
      banks: ({
        /** [m] along the track */
        chainageM: number;
        /** [m] of the track there */
        levelM: number;
        /** [deg] longitude and latitude, WGS84, where the track has positions */
        position?: [number, number];
        /** on which its water is let out, looking down the track */
        side: "left" | "right" | "either";
        /** [m] chainage of the bank above it, or of the top of the slope */
        aboveM: number;
        /** [m] from there */
        spacingM: number;
        /** [m] one standard deviation, once pegged as the track was surveyed; none when not known */
        spacingPlusMinusM?: number;
        /** [%] mean fall of the track from there */
        slopePct: number;
        /** [%] one standard deviation; none when not known */
        slopePlusMinusPct?: number;
        /** [m] farthest that the table allows on that fall */
        allowedM: number;
        /** the table's row */
        row: string;
        /** why that row, where none is printed for the fall */
        rowWhy?: string;
        /** [m] what is allowed if the fall is twice its ± steeper, where that is less */
        otherAllowedM?: number;
        /** [m] up the track from the farthest place allowed, to a safe outlet */
        movedM: number;
        /** no place near enough has a safe outlet: see unserved */
        tooFar: boolean;
        /** why that side, what bars the other, or what moved the bank */
        why?: string;
      })[];
      /** number of banks */
      count: number;
      /** [m] of each bank from the break above it */
      spacingsM: number[];
      /** [%] mean fall over each spacing */
      slopesPct: number[];
      /** lengths of track that drain one way, by growing chainage */
      slopes: {
        /** [m] chainage at which its water parts */
        topM: number;
        /** [m] chainage at which it gathers */
        footM: number;
        /** [m] from top to foot */
        lengthM: number;
        /** [%] mean fall */
        slopePct: number;
      }[];
      /** reaches longer than allowed, for want of a safe outlet */
      unserved: {
        /** [m] chainage of the break above */
        fromM: number;
        /** [m] chainage of the next break below */
        toM: number;
        /** [m] between them */
        lengthM: number;
        /** [m] how far below the upper one a bank was due */
        allowedM: number;
        /** why none can be put there */
        why: string;
      }[];
      /** the table used and where it is printed */
      tableSource: string;
      /** surveyed points along the track, lowest chainage first, at least two */
      track: {
        /** [m] along the track from one end of the survey; this or position */
        chainageM?: number;
        /** [deg] longitude and latitude, WGS84; chainages are then geodesic lengths from the first */
        position?: [number, number];
        /** [m] level of the middle of the track on the datum of the run */
        levelM: number;
      }[];
      /** whose spacings; they differ threefold and are never blended */
      table: "water-bars-two-soils" | "dips-and-culverts" | "water-bars-by-class" | "legal-maximum-by-hazard" | "water-bars-one-soil" | "broad-based-dips" | "local";
      /** column of that table: water-bars-two-soils general, highly erodible; dips-and-culverts and water-bars-by-class low to non-erosive, erosive; legal-maximum-by-hazard extreme, high, moderate, low hazard; broad-based-dips near end of range, far end of range; the others have one column */
      soil?: "general" | "highly erodible" | "low to non-erosive" | "erosive" | "extreme" | "high" | "moderate" | "low" | "near end of range" | "far end of range";
      /** what applies between two printed grades: the steeper row if not given, since no table says otherwise */
      between?: "steeper" | "straight line" | "log-log";
      /** the local table, gentlest grade first */
      rows?: {
        /** [%] steepest grade of the row, which begins where the one before ends */
        upToPct: number;
        /** [m] farthest that banks may stand apart */
        spacingM: number;
      }[];
      /** who published the local table */
      rowsSource?: string;
      /** safe side for water, looking down the track; either if not given */
      side?: "left" | "right" | "either" | "none";
      /** reaches with another safe side; they may touch, not overlap */
      sides?: ({
        /** [m] chainage at which the reach begins */
        fromM: number;
        /** [m] chainage at which it ends */
        toM: number;
        /** safe side, looking down the track */
        side: "left" | "right" | "either" | "none";
        /** why that side */
        why?: string;
      })[];
      /** reaches in which no water may be let out */
      noOutlet?: ({
        /** [m] chainage at which the reach begins */
        fromM: number;
        /** [m] chainage at which it ends */
        toM: number;
        /** side on which no water may be let out; both if not given */
        side?: "left" | "right" | "either";
        /** what lies there: another bank's catch, a shed, a neighbour */
        why?: string;
      })[];
      /** gully heads near the track */
      gullyHeads?: ({
        /** what it is called; its place in the list if not given */
        name?: string;
        /** [m] of the place on the track square to it; this or position */
        chainageM?: number;
        /** [m] from that place; 0, on the track, if not given */
        offsetM?: number;
        /** on which it lies, looking down the track; both are kept clear if not given */
        side?: "left" | "right";
        /** [deg] longitude and latitude, WGS84, for a track surveyed by positions */
        position?: [number, number];
        /** [m] level of its lip on the track's datum: a head above the track takes none of its water */
        lipLevelM?: number;
        /** [m] one standard deviation of its place; not known if not given */
        plusMinusM?: number;
      })[];
      /** [m] how far an outlet is kept from a gully head and from a lower limb of the track, on its side; 30 if not given */
      clearanceM?: number;
      /** [m] least rise of the track that parts its water; 0.15 if not given */
      humpM?: number;
      /** what the levels come from: levelled if not given; only levelled ones can pass or fail a check */
      basis?: "levelled" | "taped" | "GPS" | "drawn on the map" | "estimated" | "from plan" | "not recorded" | "unproven";
      /** [m] one standard deviation of a level; 0.005 for levelled ones, else not known */
      levelPlusMinusM?: number;
      /** [m] one standard deviation of a chainage; 0.05, a tape's, if not given; not known for positions */
      chainagePlusMinusM?: number;
      /** [deg] between bank and track */
      angleDeg: number;
      /** [m] along its crest, for the width given */
      bankLengthM?: number;
      /** [m] from its upper end to its outlet, for the width and oneIn given */
      bankFallM?: number;
      /** [m] to build, for the settled height given */
      builtHeightM?: number;
      /** what guides say of a bank's shape; where they differ both stand here */
      shape: {
        /** what of the bank */
        item: string;
        /** least that the guide gives, in the unit beside */
        low: number;
        /** most that it gives; none where it gives a least figure alone */
        high?: number;
        /** of both */
        unit: string;
        /** the guide */
        source: string;
      }[];
      /** what each published table would lead to on this track */
      tables: {
        /** whose spacings */
        table: string;
        /** its column */
        soil?: string;
        /** number of banks, outlets left aside; none where the table does not go as steep */
        count?: number;
        /** where it is printed */
        source: string;
      }[];
      /** what to watch for on the ground */
      cautions: {
        /** the figure, field or check it is tied to, empty for the whole */
        about: string;
        /** the sentence */
        text: string;
      }[];
    };
  };
  /** whether a track's whoa-boys are near enough together and drain to safe ground */
  "whoa-boy-check": {
    input: {
      /** the banks that are there, in any order */
      banks: ({
        /** what it is called; its place in the list if not given */
        name?: string | null;
        /** [m] along the track; this or position */
        chainageM?: number | null;
        /** [deg] longitude and latitude, WGS84, for a track surveyed by positions */
        position?: [number, number] | null;
        /** to which it lets the water out, looking down the track */
        side?: "left" | "right" | "either" | "none" | null;
      })[];
      /** surveyed points along the track, lowest chainage first, at least two */
      track: ({
        /** [m] along the track from one end of the survey; this or position */
        chainageM?: number | null;
        /** [deg] longitude and latitude, WGS84; chainages are then geodesic lengths from the first */
        position?: [number, number] | null;
        /** [m] level of the middle of the track on the datum of the run */
        levelM: number;
      })[];
      /** whose spacings; they differ threefold and are never blended */
      table: "water-bars-two-soils" | "dips-and-culverts" | "water-bars-by-class" | "legal-maximum-by-hazard" | "water-bars-one-soil" | "broad-based-dips" | "local";
      /** column of that table: water-bars-two-soils general, highly erodible; dips-and-culverts and water-bars-by-class low to non-erosive, erosive; legal-maximum-by-hazard extreme, high, moderate, low hazard; broad-based-dips near end of range, far end of range; the others have one column */
      soil?: "general" | "highly erodible" | "low to non-erosive" | "erosive" | "extreme" | "high" | "moderate" | "low" | "near end of range" | "far end of range" | null;
      /** what applies between two printed grades: the steeper row if not given, since no table says otherwise */
      between?: "steeper" | "straight line" | "log-log" | null;
      /** the local table, gentlest grade first */
      rows?: {
        /** [%] steepest grade of the row, which begins where the one before ends */
        upToPct: number;
        /** [m] farthest that banks may stand apart */
        spacingM: number;
      }[] | null;
      /** who published the local table */
      rowsSource?: string | null;
      /** safe side for water, looking down the track; either if not given */
      side?: "left" | "right" | "either" | "none" | null;
      /** reaches with another safe side; they may touch, not overlap */
      sides?: ({
        /** [m] chainage at which the reach begins */
        fromM: number;
        /** [m] chainage at which it ends */
        toM: number;
        /** safe side, looking down the track */
        side: "left" | "right" | "either" | "none";
        /** why that side */
        why?: string | null;
      })[] | null;
      /** reaches in which no water may be let out */
      noOutlet?: ({
        /** [m] chainage at which the reach begins */
        fromM: number;
        /** [m] chainage at which it ends */
        toM: number;
        /** side on which no water may be let out; both if not given */
        side?: "left" | "right" | "either" | null;
        /** what lies there: another bank's catch, a shed, a neighbour */
        why?: string | null;
      })[] | null;
      /** gully heads near the track */
      gullyHeads?: ({
        /** what it is called; its place in the list if not given */
        name?: string | null;
        /** [m] of the place on the track square to it; this or position */
        chainageM?: number | null;
        /** [m] from that place; 0, on the track, if not given */
        offsetM?: number | null;
        /** on which it lies, looking down the track; both are kept clear if not given */
        side?: "left" | "right" | null;
        /** [deg] longitude and latitude, WGS84, for a track surveyed by positions */
        position?: [number, number] | null;
        /** [m] level of its lip on the track's datum: a head above the track takes none of its water */
        lipLevelM?: number | null;
        /** [m] one standard deviation of its place; not known if not given */
        plusMinusM?: number | null;
      })[] | null;
      /** [m] how far an outlet is kept from a gully head and from a lower limb of the track, on its side; 30 if not given */
      clearanceM?: number | null;
      /** [m] least rise of the track that parts its water; 0.15 if not given */
      humpM?: number | null;
      /** what the levels come from: levelled if not given; only levelled ones can pass or fail a check */
      basis?: "levelled" | "taped" | "GPS" | "drawn on the map" | "estimated" | "from plan" | "not recorded" | "unproven" | null;
      /** [m] one standard deviation of a level; 0.005 for levelled ones, else not known */
      levelPlusMinusM?: number | null;
      /** [m] one standard deviation of a chainage; 0.05, a tape's, if not given; not known for positions */
      chainagePlusMinusM?: number | null;
    };
    output: {
      /** slope by slope, each from its top down */
      intervals: ({
        /** the bank above, or top */
        from: string;
        /** the bank below, or foot */
        to: string;
        /** [m] chainage of the upper one; water runs from there */
        fromM: number;
        /** [m] chainage of the lower one */
        toM: number;
        /** [m] between them */
        spacingM: number;
        /** [m] one standard deviation; none when not known */
        spacingPlusMinusM?: number;
        /** [%] mean fall between them */
        slopePct: number;
        /** [%] one standard deviation; none when not known */
        slopePlusMinusPct?: number;
        /** [m] farthest that the table allows on that fall */
        allowedM: number;
        /** [m] chainage by which the next bank was due, going down; toM where none was */
        nextByM: number;
        /** the table's row */
        row: string;
        /** why that row, where none is printed for the fall */
        rowWhy?: string;
        /** no row: steeper than the table goes; not levelled: no closed level run stands behind the fall */
        verdict: "ok" | "too far" | "no row" | "not levelled";
        /** another verdict lies within twice the ± */
        close: boolean;
        /** of the verdict */
        reason?: string;
      })[];
      /** by growing chainage */
      outlets: ({
        /** the bank */
        name: string;
        /** [m] of the bank */
        chainageM: number;
        /** to which it lets the water out */
        side?: string;
        /** not known: nobody said to which side */
        verdict: "ok" | "not safe" | "not known";
        /** of the verdict */
        reason?: string;
        /** [m] from the bank to the nearest gully head on its side, straight */
        headM?: number;
        /** [m] one standard deviation; none when not known */
        headPlusMinusM?: number;
      })[];
      /** lengths of track that drain one way, by growing chainage */
      slopes: {
        /** [m] chainage at which its water parts */
        topM: number;
        /** [m] chainage at which it gathers */
        footM: number;
        /** [m] from top to foot */
        lengthM: number;
        /** [%] mean fall */
        slopePct: number;
      }[];
      /** OK when every interval and outlet is ok; an outlet whose side is not given does not fail it */
      verdict: "OK" | "fails" | "not levelled";
      /** the table used and where it is printed */
      tableSource: string;
      /** what the levels come from */
      basis: string;
      /** what to watch for on the ground */
      cautions: {
        /** the figure, field or check it is tied to, empty for the whole */
        about: string;
        /** the sentence */
        text: string;
      }[];
    };
  };
  /** whether pegs stand on one contour, which is worst, and where water would go */
  "contour-check": {
    input: {
      /** the pegs, in order along the line */
      pegs: ({
        /** what to call the peg; its number if not given */
        name?: string | null;
        /** [m] along the line */
        chainageM: number;
        /** [m] level of the ground at the peg */
        levelM: number;
      })[];
      /** [m] how far a peg may be off the mean level, up or down; at most 1 */
      toleranceM: number;
      /** [%] how steep the line may run between neighbours, either way; not checked if not given */
      gradeTolerancePct?: number | null;
      /** how the levels came about; levelled if not given, and nothing else can pass */
      basis?: "levelled" | "taped" | "GPS" | "drawn on the map" | "estimated" | "from plan" | "not recorded" | "unproven" | null;
      /** [m] one standard deviation of a peg's level; that of one set-up, 0.0028, if levelled and not given */
      levelPlusMinusM?: number | null;
      /** [m] height of the bank or furrow lip above the ground at the pegs; from 0.01 to 1. With it, the water held is calculated */
      lipM?: number | null;
      /** [m] one standard deviation of lipM, alike all along; taken as right if not given */
      lipPlusMinusM?: number | null;
      /** whether water may leave at both ends; if not given they are turned up or left unripped */
      openEnds?: boolean | null;
    };
    output: {
      /** [m] mean of the pegs' levels, each counted once */
      meanLevelM: number;
      /** [m] of the mean level; none when not known */
      plusMinusM?: number;
      /** the peg farthest off the mean */
      worst: {
        /** number of the peg, counted from 1 */
        peg: number;
        /** its name */
        name?: string;
        /** [m] above the mean; minus is below */
        offM: number;
        /** [m] of offM; none when not known */
        plusMinusM?: number;
      };
      /** [m] each peg above the mean; minus is below */
      offsM: number[];
      /** [%] from each peg to the next; plus climbs along the line */
      gradesPct: number[];
      /** [%] of each grade; the whole list is left out when one of them is not known */
      gradesPlusMinusPct?: number[];
      /** pegs with higher ground on both sides, where water ponds and breaks over */
      lowPoints: {
        /** number of the peg, counted from 1; the first of several at one level */
        peg: number;
        /** its name */
        name?: string;
        /** [m] along the line */
        chainageM: number;
        /** [m] level there */
        levelM: number;
        /** [m] how deep water stands before it breaks over along the line */
        depthM: number;
      }[];
      /** where water along the line goes */
      drainsTo: "nowhere" | "first peg" | "last peg" | "both ends" | "low points";
      /** OK, fails, or not levelled: these levels cannot decide it */
      verdict: "OK" | "fails" | "not levelled";
      /** how the levels came about */
      basis: "levelled" | "taped" | "GPS" | "drawn on the map" | "estimated" | "from plan" | "not recorded" | "unproven";
      /** why it fails, with the way to move each peg */
      reasons: string[];
      /** where the line stands off the contour by more than the tolerance */
      reaches: ({
        /** [m] chainage where it leaves the tolerance */
        fromM: number;
        /** [m] one standard deviation of fromM; none when nobody knows how good the levels are */
        fromPlusMinusM?: number;
        /** [m] chainage where it comes back */
        toM: number;
        /** [m] one standard deviation of toM; none when not known */
        toPlusMinusM?: number;
        /** [m] the farthest off the mean; minus is below */
        offM: number;
        /** [m] one standard deviation of offM; none when not known */
        plusMinusM?: number;
        /** number of the peg that far off, counted from 1 */
        worstPeg: number;
        /** its name */
        worstName?: string;
        /** whether it is off by the tolerance and twice plusMinusM more, by levelled pegs */
        sure: boolean;
        /** the way water runs along the line there */
        waterRuns: "towards the start" | "towards the end" | "both ways" | "into it";
        /** numbers of the pegs where that water comes to rest or leaves the line */
        drainsToPegs: number[];
        /** the same in a sentence */
        text: string;
      })[];
      /** how much of the line ponds water behind its lip; none without lipM */
      holding?: {
        /** [m] of line along which water stands once rain has filled it */
        lengthM: number;
        /** [m] one standard deviation of lengthM; none when nobody knows how good the levels are */
        plusMinusM?: number;
        /** [%] of the whole line */
        sharePct: number;
        /** where the water is */
        wet: {
          /** [m] chainage */
          fromM: number;
          /** [m] chainage */
          toM: number;
        }[];
        /** fewest stops, besides the ends, for all of the line to hold; 201 stands for any more */
        stopsNeeded: number;
        /** [m] chainages at which to stop the furrow or leave it unripped; none when there are too many */
        stopsAtM: number[];
      };
      /** what to watch for */
      cautions: {
        /** the figure, field or check it is tied to, empty for the whole */
        about: string;
        /** the sentence */
        text: string;
      }[];
    };
  };
  /** length, spacing and treated area of rip lines, and the water they hold */
  "rip-area": {
    input: {
      /** [deg] each rip, pass by pass, as longitude and latitude of its positions, WGS84; in any order */
      lines: [number, number][][];
      /** [m] one standard deviation of a position along any direction; the receiver's own accuracy, for want of better */
      accuracyM?: number | null;
      /** how the positions came about; GPS if not given */
      basis?: "levelled" | "taped" | "GPS" | "drawn on the map" | "estimated" | "from plan" | "not recorded" | "unproven" | null;
      /** [%] slope of the ground, square to the lines */
      groundSlopePct?: number | null;
      /** [%] one standard deviation of groundSlopePct; taken as right if not given */
      slopePlusMinusPct?: number | null;
      /** whose limit of slope applies; the stricter, dry rangeland, if not given */
      slopeRule?: "dry rangeland, under 15 %" | "grazing land, under 30 %" | null;
      /** what a test of the subsoil showed */
      subsoil?: "dispersive" | "not dispersive" | "not tested" | null;
      /** why a dispersive subsoil is to be ripped anyway */
      overrideReason?: string | null;
      /** the verdict of contour-check; between banks for lines parallel to surveyed banks */
      contour?: "OK" | "fails" | "not levelled" | "between banks" | null;
      /** the bank or furrow lip that ponds water on the slope above; needs groundSlopePct */
      lip?: {
        /** [m] depth of water at its toe when it is full; from 0.01 to 1 */
        heightM: number;
        /** [m] one standard deviation of heightM; taken as right if not given */
        heightPlusMinusM?: number | null;
        /** run of its upslope face for each metre of rise; 0, upright, if not given */
        faceRunPerRise?: number | null;
      } | null;
      /** the open rip, as it is on the day it is cut */
      slot?: {
        /** [m] width at the ground */
        topWidthM: number;
        /** [m] one standard deviation of topWidthM; taken as right if not given */
        widthPlusMinusM?: number | null;
        /** [m] depth that stands open */
        depthM: number;
        /** [m] one standard deviation of depthM; taken as right if not given */
        depthPlusMinusM?: number | null;
        /** its cross-section; a triangle, as a tine leaves it, if not given */
        shape?: "triangle" | "box" | null;
      } | null;
    };
    output: {
      /** [m] of all lines together */
      lengthM: number;
      /** [m] one standard deviation of lengthM; none without an accuracy */
      plusMinusM?: number;
      /** [m] between neighbouring lines, square to them all along; none when no line has a neighbour */
      spacingM?: {
        /** [m] the narrowest place */
        min: number;
        /** [m] over all places that have a neighbour */
        mean: number;
        /** [m] the widest place */
        max: number;
        /** [m] one standard deviation of min and max; none without an accuracy */
        plusMinusM?: number;
        /** [m] one standard deviation of mean; none without an accuracy */
        meanPlusMinusM?: number;
        /** where it is narrowest */
        minAt: {
          /** number of the line on which it is, counted from 1 */
          line: number;
          /** number of the line it looks at */
          otherLine: number;
          /** [deg] longitude and latitude on the first, WGS84 */
          position: [number, number];
          /** [m] from there to the other, square to the first */
          spacingM: number;
          /** [m] one standard deviation of spacingM; none without an accuracy */
          plusMinusM?: number;
        };
        /** where it is widest */
        maxAt: {
          /** number of the line on which it is, counted from 1 */
          line: number;
          /** number of the line it looks at */
          otherLine: number;
          /** [deg] longitude and latitude on the first, WGS84 */
          position: [number, number];
          /** [m] from there to the other, square to the first */
          spacingM: number;
          /** [m] one standard deviation of spacingM; none without an accuracy */
          plusMinusM?: number;
        };
      };
      /** [m2] treated: length times spacing, place by place; none when no line has a neighbour */
      areaM2?: number;
      /** [m2] one standard deviation of areaM2; none without an accuracy */
      plusMinusM2?: number;
      /** [m] length of line that has no neighbour on either side */
      aloneM: number;
      /** neighbouring lines, and how far apart they are over the part along which they face each other */
      pairs: {
        /** numbers of the two lines, counted from 1 */
        lines: [number, number];
        /** [m] how much of each has the other for its neighbour */
        facingM: [number, number];
        /** [%] the same, of its length: less than 100 where it reaches past the other, or a third comes between */
        sharePct: [number, number];
        /** [m] the narrowest place */
        min: number;
        /** [m] over all places where they face */
        mean: number;
        /** [m] the widest place */
        max: number;
        /** [m] one standard deviation of mean; none without an accuracy */
        meanPlusMinusM?: number;
        /** where it is narrowest */
        minAt: {
          /** number of the line on which it is, counted from 1 */
          line: number;
          /** number of the line it looks at */
          otherLine: number;
          /** [deg] longitude and latitude on the first, WGS84 */
          position: [number, number];
          /** [m] from there to the other, square to the first */
          spacingM: number;
          /** [m] one standard deviation of spacingM; none without an accuracy */
          plusMinusM?: number;
        };
        /** where it is widest */
        maxAt: {
          /** number of the line on which it is, counted from 1 */
          line: number;
          /** number of the line it looks at */
          otherLine: number;
          /** [deg] longitude and latitude on the first, WGS84 */
          position: [number, number];
          /** [m] from there to the other, square to the first */
          spacingM: number;
          /** [m] one standard deviation of spacingM; none without an accuracy */
          plusMinusM?: number;
        };
      }[];
      /** [m3] on the day of ripping, by lines that are level; none without lip or slot */
      waterHeldM3?: number;
      /** what that is made of */
      water?: {
        /** [m3/m] behind a metre of level lip */
        pondM3PerM?: number;
        /** [m3/m] one standard deviation of it, for what was given of the lip */
        pondPlusMinusM3PerM?: number;
        /** [m] how far up the slope the pond would reach if no line stood there */
        backwaterM?: number;
        /** [m] one standard deviation of it */
        backwaterPlusMinusM?: number;
        /** [m3/m] in a metre of open rip */
        slotM3PerM?: number;
        /** [m3/m] one standard deviation of it, for what was given of the slot */
        slotPlusMinusM3PerM?: number;
        /** [m3/m] both together */
        m3PerM: number;
        /** [m3/m] one standard deviation of it */
        plusMinusM3PerM?: number;
        /** [m3] by all lines */
        totalM3: number;
        /** [m3] one standard deviation of it; none without an accuracy of the positions */
        totalPlusMinusM3?: number;
        /** [m3/har] over the treated area; none when there is none */
        perHaM3?: number;
        /** [mm] the same as a depth of rain */
        depthMm?: number;
        /** [mm] one standard deviation of it; none without an accuracy of the positions */
        depthPlusMinusMm?: number;
      };
      /** the limit that the ground's slope was held to; none without groundSlopePct */
      slope?: {
        /** the rule used */
        rule: string;
        /** [%] the ground is flatter than this */
        limitPct: number;
      };
      /** whether the lines may be ripped for all that is known of their contour; none without contour */
      contour?: {
        /** as given */
        state: "OK" | "fails" | "not levelled" | "between banks";
        /** whether the lines may be ripped */
        mayRip: boolean;
        /** whether a level has shown it */
        proven: boolean;
        /** the same in a sentence */
        text: string;
      };
      /** what the figures come from */
      basis: string;
      /** what is odd about the lines */
      cautions: {
        /** the figure, field or check it is tied to, empty for the whole */
        about: string;
        /** the sentence */
        text: string;
      }[];
    };
  };
  /** what lies straight down the fall below each gap of timber windrows */
  "windrow-gaps": {
    input: {
      /** the windrows of one slope, in any order; from the top one down if fallBearingDeg is not given */
      rows: ({
        /** what the row is called; its number if not given */
        name?: string | null;
        /** [deg] longitude and latitude along the row, WGS84 */
        line: [number, number][];
        /** the openings left in it, in order along it; none is an empty list */
        gaps: {
          /** [m] where it begins, along the row from its first position */
          fromM: number;
          /** [m] where it ends */
          toM: number;
        }[];
      })[];
      /** [deg] bearing in which water runs straight down, clockwise from true north; square to the rows if not given */
      fallBearingDeg?: number | null;
      /** [deg] one standard deviation of that bearing; taken as right if not given */
      fallBearingPlusMinusDeg?: number | null;
      /** [m] one standard deviation of a position along any direction; the receiver's own accuracy, for want of better */
      accuracyM?: number | null;
      /** [m] one standard deviation of a gap's chainage; taken as right if not given */
      chainagePlusMinusM?: number | null;
    };
    output: {
      /** each gap with what lies straight below it */
      pairs: ({
        /** number of the row of the gap, counted from 1 */
        row: number;
        /** its name */
        rowName?: string;
        /** number of the gap in it, counted from 1 */
        gap: number;
        /** number of the row straight down the fall; none where no row lies below */
        belowRow?: number;
        /** its name */
        belowRowName?: string;
        /** the gap of that row that it meets, or the nearest */
        belowGap?: number;
        /** what lies straight below */
        meets: "timber" | "gap" | "too close to tell" | "open ground";
        /** [m] width across the fall over which gap stands above gap, or above open ground; minus is how far they are apart; none when the row below has no gap */
        overlapM?: number;
        /** [m] one standard deviation of overlapM; none without an accuracy */
        plusMinusM?: number;
        /** [m] how far one gap must move across the fall to stand clear of the other; minus is the room there is */
        shiftM?: number;
        /** [m] one standard deviation of shiftM; within it nobody can tell */
        shiftPlusMinusM?: number;
        /** [m] straight down the fall to the row below, where it is nearest */
        downM?: number;
        /** [m] one standard deviation of downM; none without an accuracy */
        downPlusMinusM?: number;
      })[];
      /** whether any gap lies above a gap */
      verdict: "staggered" | "lined up" | "too close to tell" | "nothing below";
      /** [deg] the bearing used */
      fallBearingDeg: number;
      /** where it comes from */
      fallFrom: "given" | "rows";
      /** what the figures come from */
      basis: string;
      /** what to watch for on the ground */
      cautions: {
        /** the figure, field or check it is tied to, empty for the whole */
        about: string;
        /** the sentence */
        text: string;
      }[];
    };
  };
  /** earth to cut, ground taken and face to cover where a gully wall or head is laid back */
  "batter": {
    input: {
      /** [m] of the wall, from toe to brink; at most 3 */
      heightM: number;
      /** present slope of the wall, 1 in so many; 0 upright */
      presentRunPerRise: number;
      /** the new slope, 1 in this */
      targetRunPerRise: number;
      /** [m] along the wall; not needed for a head alone */
      lengthM?: number | null;
      /** [m] of a half-round head, at its toe; added to the wall */
      headRadiusM?: number | null;
      /** [m] free bed before the wall, which a balance of cut and fill narrows; not known if not given */
      bedWidthM?: number | null;
      /** stiff clay, not dispersive; loam; under loose rock; under loose rock, planted; sandy or dispersive; or one of grades. Nothing is held against the target if not given */
      soil?: string | null;
      /** the local table, which goes before the one named there */
      grades?: {
        /** its name */
        soil: string;
        /** the steepest allowed is 1 in this */
        leastRunPerRise: number;
        /** where it comes from */
        source: string;
      }[] | null;
      /** [m] spread over the face, square to it; none if not given */
      topsoilDepthM?: number | null;
      /** [m] one standard deviation of the height, of the run over that height, of the length and of the radius; not known if not given */
      accuracyM?: number | null;
      /** what the sizes come from; taped if not given */
      basis?: "levelled" | "taped" | "GPS" | "drawn on the map" | "estimated" | "from plan" | "not recorded" | "unproven" | null;
    };
    output: {
      /** [m3] with the toe where it is and all of it cut; as it lies, not bulked */
      cutM3: number;
      /** [m3] one standard deviation; none when not known */
      cutPlusMinusM3?: number;
      /** [m] the brink moves back so far */
      widthM: number;
      /** [m] one standard deviation; none when not known */
      widthPlusMinusM?: number;
      /** [m2] of the new batter in plan, toe to brink */
      areaM2: number;
      /** [m2] one standard deviation; none when not known */
      areaPlusMinusM2?: number;
      /** [m2] of that, beyond the present brink */
      landM2: number;
      /** [m2] one standard deviation; none when not known */
      landPlusMinusM2?: number;
      /** [m] up the slope, toe to brink */
      faceLengthM: number;
      /** [deg] from level */
      faceDeg: number;
      /** [m2] measured on the slope: to spread topsoil and net over */
      faceM2: number;
      /** [m2] one standard deviation; none when not known */
      facePlusMinusM2?: number;
      /** [m3] none without its depth */
      topsoilM3?: number;
      /** [m3] one standard deviation, the depth taken as exact; none when not known */
      topsoilPlusMinusM3?: number;
      /** the other way, upper half cut and filled before the lower; none for a head, or where the bed is too narrow */
      balanced?: {
        /** [m3] and as much fill, no bulking reckoned */
        cutM3: number;
        /** [m3] one standard deviation; none when not known */
        cutPlusMinusM3?: number;
        /** [m] the brink moves back, and the toe forward, so far */
        widthM: number;
        /** [m] one standard deviation; none when not known */
        widthPlusMinusM?: number;
      };
      /** how steep each soil of the named table may be, and whether the target is no steeper */
      soils: {
        /** its name */
        soil: string;
        /** the steepest allowed is 1 in this */
        leastRunPerRise: number;
        /** the other end of what is usual; absent where the source gives none */
        flattestRunPerRise?: number;
        /** whether the target is no steeper */
        allows: boolean;
        /** where it comes from */
        source: string;
      }[];
      /** of cutting all, as a list to be priced by the computation quantities */
      items: {
        /** what is counted */
        item: string;
        /** in which unit */
        unit: string;
        /** how much of it */
        quantity: number;
        /** one standard deviation in the same unit; none when not known */
        plusMinus?: number;
      }[];
      /** what the figures come from */
      basis: string;
      /** what to watch for on the ground */
      cautions: {
        /** the figure, field or check it is tied to, empty for the whole */
        about: string;
        /** the sentence */
        text: string;
      }[];
    };
  };
  /** soil loss of a hillslope after over before its cover changed, as a ratio */
  "soil-loss": {
    input: {
      /** [m] slope length before, horizontal, from where runoff starts to where it gathers or drops its silt */
      lengthM: number;
      /** [m] slope length after, where banks now cut it; lengthM if not given */
      lengthAfterM?: number | null;
      /** [m] one standard deviation of each length; not known if not given */
      lengthPlusMinusM?: number | null;
      /** [%] slope of the ground, of 100 along */
      slopePct: number;
      /** [%] one standard deviation of the slope; not known if not given */
      slopePlusMinusPct?: number | null;
      /** what length and slope come from; unproven if not given */
      basis?: "levelled" | "taped" | "GPS" | "drawn on the map" | "estimated" | "from plan" | "not recorded" | "unproven" | null;
      /** [%] ground cover before, at the end of the dry season */
      coverBeforePct: number;
      /** [%] one standard deviation, a quarter of the width between 95 % limits; not known if not given */
      coverBeforePlusMinusPct?: number | null;
      /** [%] ground cover after, at the same time of year */
      coverAfterPct: number;
      /** [%] one standard deviation; not known if not given */
      coverAfterPlusMinusPct?: number | null;
      /** printed cover factors that both covers are read off; pasture-set if not given */
      coverSeries?: "pasture-set" | "handbook-537-grass" | "handbook-537-weeds" | "epa-1977-grass" | null;
      /** how length and slope count; rusle if not given. It moves the ratio only where the length changed */
      formula?: "usle" | "rusle" | null;
      /** [MJ.mm/(har.h.a)] rainfall factor; with k, and the sources of both, it gives tonnes */
      r?: number | null;
      /** [MJ.mm/(har.h.a)] one standard deviation; not known if not given */
      rPlusMinus?: number | null;
      /** the map or table that r was read off, with its year */
      rSource?: string | null;
      /** [t.har.h/(har.MJ.mm)] soil factor; that of a table in US units times 0.1317 */
      k?: number | null;
      /** [t.har.h/(har.MJ.mm)] one standard deviation; not known if not given */
      kPlusMinus?: number | null;
      /** the map or table that k was read off, with its year */
      kSource?: string | null;
    };
    output: {
      /** soil loss after over soil loss before, all else equal; below 1 is less */
      ratio: number;
      /** one standard deviation of the ratio; none when not known */
      plusMinus?: number;
      /** whether the covers differ by more than they scatter, 95 in 100 */
      verdict: "less loss" | "more loss" | "too close to tell" | "not known";
      /** the series both covers were read off */
      coverSeries: string;
      /** cover factor before */
      cBefore: number;
      /** one standard deviation; none when not known */
      cBeforePlusMinus?: number;
      /** cover factor after */
      cAfter: number;
      /** one standard deviation; none when not known */
      cAfterPlusMinus?: number;
      /** the formula of the topographic factor */
      formula: "usle" | "rusle";
      /** topographic factor before */
      lsBefore: number;
      /** one standard deviation; none when not known */
      lsBeforePlusMinus?: number;
      /** topographic factor after */
      lsAfter: number;
      /** one standard deviation; none when not known */
      lsAfterPlusMinus?: number;
      /** what the same covers give in the other series; never an average of them */
      others: {
        /** the series */
        coverSeries: string;
        /** loss after over loss before by that series */
        ratio: number;
        /** one standard deviation; none when not known */
        plusMinus?: number;
        /** where it is printed */
        source: string;
      }[];
      /** only where r and k were given with their sources */
      tonnesPerHaYear?: {
        /** [t/(har.a)] long-run average before */
        before: number;
        /** [t/(har.a)] one standard deviation; none when not known */
        beforePlusMinus?: number;
        /** [t/(har.a)] long-run average after */
        after: number;
        /** [t/(har.a)] one standard deviation; none when not known */
        afterPlusMinus?: number;
        /** where r comes from */
        rSource: string;
        /** where k comes from */
        kSource: string;
      };
      /** what length and slope come from */
      basis: string;
      /** the table and formula used */
      sources: string[];
      /** what the figures do not say */
      cautions: {
        /** the figure, field or check it is tied to, empty for the whole */
        about: string;
        /** the sentence */
        text: string;
      }[];
    };
  };
  /** whether grass, fencing and fertiliser are likely to stabilise a gully by themselves */
  "revegetation": {
    input: {
      /** [m] depth of the gully */
      depthM: number;
      /** [m] one standard deviation; not known if not given */
      depthPlusMinusM?: number | null;
      /** run of the steepest walls per metre of height; 0 for vertical or undercut */
      wallRunPerRise?: number | null;
      /** one standard deviation; not known if not given */
      wallPlusMinus?: number | null;
      /** [m] fall at the head; 0 where there is none */
      headDepthM?: number | null;
      /** [m] one standard deviation; not known if not given */
      headDepthPlusMinusM?: number | null;
      /** [har] land that drains to the gully */
      catchmentHa?: number | null;
      /** [har] one standard deviation; not known if not given */
      catchmentPlusMinusHa?: number | null;
      /** tunnels or pipes were seen; none if not given */
      tunnels?: boolean | null;
      /** a crumb of subsoil clouds in still water; not tested if not given, and then nothing is called likely */
      dispersive?: boolean | null;
      /** stock can be kept out; they can if not given */
      stockOut?: boolean | null;
      /** which belief decides; the stricter, common-practice, if not given. Both are given in the answer */
      screen?: "common-practice" | "judgement" | null;
    };
    output: {
      /** grass, fencing and fertiliser are likely to stabilise it by themselves; false also where that cannot be decided */
      aloneIsLikely: boolean;
      /** by the screen that decides */
      verdict: "likely" | "not likely" | "too close to tell" | "not measured";
      /** the screen that decides */
      screen: string;
      /** its limits, held against what was measured */
      reasons: ({
        /** the input it looks at */
        field: string;
        /** what has to hold */
        limit: string;
        /** in the field's own unit; none for a yes or no */
        threshold?: number;
        /** in the field's own unit; none for a yes or no, or when not measured */
        measured?: number;
        /** one standard deviation of it; none when not known */
        plusMinus?: number;
        /** whether the limit is met */
        verdict: "met" | "not met" | "too close to tell" | "not measured";
        /** where the threshold comes from */
        source: string;
      })[];
      /** what each screen says; they are never blended */
      screens: ({
        /** its name */
        screen: string;
        /** what it says */
        verdict: "likely" | "not likely" | "too close to tell" | "not measured";
        /** where it comes from */
        source: string;
      })[];
      /** what else to consider for the limits that are not met or not decided; treatment-choice says which of them fit */
      treatments: {
        /** its kind, as the register and quantities name it */
        treatment: string;
        /** what a check dam is built from, as rock-dam names it */
        builtFrom?: string;
        /** what it is */
        label: string;
        /** the fields that speak for it */
        because: string[];
      }[];
      /** what was measured where grass was tried */
      evidence: {
        /** what to know */
        text: string;
        /** who tells it */
        source: string;
      }[];
      /** what handbooks say of sowing */
      advice: {
        /** what to know */
        text: string;
        /** who tells it */
        source: string;
      }[];
      /** what to watch for on the ground */
      cautions: {
        /** the figure, field or check it is tied to, empty for the whole */
        about: string;
        /** the sentence */
        text: string;
      }[];
    };
  };
  /** which treatments fit an eroding place, which are ruled out, and why */
  "treatment-choice": {
    input: {
      /** the sort of place */
      what: "gully-head" | "gully" | "scald" | "bare-slope" | "bare-sharp-edge" | "tunnel" | "track" | "fence";
      /** [m] depth of the gully, or height of the edge */
      depthM?: number | null;
      /** [m] one standard deviation; not known if not given */
      depthPlusMinusM?: number | null;
      /** [m] fall at the head */
      headDepthM?: number | null;
      /** [m] one standard deviation; not known if not given */
      headDepthPlusMinusM?: number | null;
      /** run of the steepest walls per metre of height; 0 for vertical or undercut */
      wallRunPerRise?: number | null;
      /** one standard deviation; not known if not given */
      wallPlusMinus?: number | null;
      /** [m] width of the gully where works would stand */
      widthM?: number | null;
      /** [m] one standard deviation; not known if not given */
      widthPlusMinusM?: number | null;
      /** [har] land that drains to the place */
      catchmentHa?: number | null;
      /** [har] one standard deviation; not known if not given */
      catchmentPlusMinusHa?: number | null;
      /** [%] slope of the gully's bed */
      bedSlopePct?: number | null;
      /** [%] one standard deviation; not known if not given */
      bedSlopePlusMinusPct?: number | null;
      /** [%] slope of the ground, the track or the fence line */
      slopePct?: number | null;
      /** [%] one standard deviation; not known if not given */
      slopePlusMinusPct?: number | null;
      /** [m] sloping length of the track or fence line */
      lengthM?: number | null;
      /** [m] one standard deviation; not known if not given */
      lengthPlusMinusM?: number | null;
      /** [%] ground cover at the end of the dry season */
      coverPct?: number | null;
      /** [%] one standard deviation; not known if not given */
      coverPlusMinusPct?: number | null;
      /** still cutting back */
      active?: boolean | null;
      /** tunnels or pipes were seen */
      tunnels?: boolean | null;
      /** a crumb of subsoil clouds in still water */
      dispersive?: boolean | null;
      /** stock can be kept out */
      stockOut?: boolean | null;
      /** there is ground that can carry turned water: grassed, rocky, not steep */
      stableOutlet?: boolean | null;
      /** that ground is on the same property */
      outletOnOwnLand?: boolean | null;
      /** hard angular rock lies near */
      rockAtHand?: boolean | null;
      /** fallen or pushed timber or brush lies near */
      timberAtHand?: boolean | null;
      /** a tractor or excavator can get there */
      machineAccess?: boolean | null;
      /** a dumpy or laser level can be had */
      levelAtHand?: boolean | null;
      /** water runs in ruts or along the line */
      rutted?: boolean | null;
      /** the track or fence lies on the contour */
      onContour?: boolean | null;
      /** the track carries a spring, seep or stream */
      springs?: boolean | null;
      /** water off a track or fence line runs into the gully */
      trackWater?: boolean | null;
      /** a humid region, by the local handbook */
      humid?: boolean | null;
    };
    output: {
      /** what fits, in order: by the trade's step, within a step by the number of needs not met, then by the table's own order */
      fits: ({
        /** from 1 */
        rank: number;
        /** its kind, as the register and quantities name it */
        treatment: string;
        /** what a check dam is built from, as rock-dam names it */
        builtFrom?: string;
        /** what it is */
        label: string;
        /** of the trade's order */
        step: "prevention" | "water" | "grass" | "earth" | "structures" | "advice";
        /** why it fits */
        reasons: {
          /** its id in the table */
          rule: string;
          /** what is true here */
          when: string;
          /** what follows */
          why: string;
          /** where it comes from */
          source: string;
        }[];
        /** what is not met yet */
        needs: {
          /** its id in the table */
          rule: string;
          /** what is true here */
          when: string;
          /** what follows */
          why: string;
          /** where it comes from */
          source: string;
        }[];
        /** what would tell whether more is needed */
        findOut: {
          /** the input */
          field: string;
          /** not measured, or too close to tell */
          text: string;
          /** ids of the rules it would settle */
          rules: string[];
        }[];
        /** the work in it */
        labour: string;
        /** what it takes */
        material: string;
      })[];
      /** what cannot be decided before something is measured, or measured better */
      notDecided: {
        /** its kind, as the register and quantities name it */
        treatment: string;
        /** what a check dam is built from, as rock-dam names it */
        builtFrom?: string;
        /** what it is */
        label: string;
        /** what speaks for it so far */
        reasons: {
          /** its id in the table */
          rule: string;
          /** what is true here */
          when: string;
          /** what follows */
          why: string;
          /** where it comes from */
          source: string;
        }[];
        /** needed to decide */
        lacks: {
          /** the input */
          field: string;
          /** not measured, or too close to tell */
          text: string;
          /** ids of the rules it would settle */
          rules: string[];
        }[];
      }[];
      /** what does not fit, and why */
      ruledOut: {
        /** its kind, as the register and quantities name it */
        treatment: string;
        /** what a check dam is built from, as rock-dam names it */
        builtFrom?: string;
        /** what it is */
        label: string;
        /** the rules against it; none where no rule for it is met */
        reasons: {
          /** its id in the table */
          rule: string;
          /** what is true here */
          when: string;
          /** what follows */
          why: string;
          /** where it comes from */
          source: string;
        }[];
        /** where no rule is against it: the rules for it, none of which is met */
        notSo: {
          /** its id in the table */
          rule: string;
          /** what is true here */
          when: string;
          /** what follows */
          why: string;
          /** where it comes from */
          source: string;
        }[];
      }[];
      /** what is not thought of for such a place */
      notFor: string[];
      /** class of the gully, where depth and catchment are known */
      size?: {
        /** by depth: 1 and 5 m */
        byDepth: "small" | "medium" | "large";
        /** by catchment: 2 and 20 ha; the guide does not say which applies where they differ */
        byCatchment: "small" | "medium" | "large";
        /** where the classes come from */
        source: string;
      };
      /** what to watch for on the ground */
      cautions: {
        /** the figure, field or check it is tied to, empty for the whole */
        about: string;
        /** the sentence */
        text: string;
      }[];
    };
  };
  /** earth gone from a gully, from cross-sections, by end areas or the prismoidal rule */
  "gully-volume": {
    input: {
      /** cross-sections from the downstream end up */
      sections: ({
        /** [m] along the thalweg from the downstream end */
        chainageM: number;
        /** [m] distance across and level of each reading, along the ground from one brink to the other; depths below the brinks are negative */
        offsets?: [number, number][] | null;
        /** of a trapezoid, in place of offsets */
        dimensions?: {
          /** [m] across the bed */
          bedWidthM: number;
          /** [m] from brink to brink */
          topWidthM: number;
          /** [m] from the line joining the brinks to the bed */
          depthM: number;
        } | null;
        /** [m2] below the line joining the brinks, in place of offsets; 0 where the gully runs out */
        areaM2?: number | null;
        /** [m2] one standard deviation of areaM2; not known if not given */
        areaPlusMinusM2?: number | null;
        /** measured half-way between its two neighbours for the prismoidal rule; end-area takes it as any other */
        middle?: boolean | null;
      })[];
      /** end-area averages neighbours; prismoidal needs measured middles, or dimensions whose mean gives the middle */
      method: "end-area" | "prismoidal";
      /** what stands between a section and one of no area: pyramid, a third, if not given; or average, a half */
      zeroEnds?: "pyramid" | "average" | null;
      /** [m] how far the gully runs on below the first section until nothing is left of it; 0 if not given */
      downstreamRunOutM?: number | null;
      /** [m] how far it runs on above the last section; 0 if not given */
      upstreamRunOutM?: number | null;
      /** how the sections were measured; taped if not given */
      basis?: "levelled" | "taped" | "GPS" | "drawn on the map" | "estimated" | "from plan" | "not recorded" | "unproven" | null;
      /** [m] one standard deviation of a distance across or a width; 0.05, a tape's, if not given; not known for GPS and unproven */
      acrossPlusMinusM?: number | null;
      /** [m] one standard deviation of a level or depth; 0.005 levelled and 0.05 taped if not given, else not known */
      heightPlusMinusM?: number | null;
      /** [m] one standard deviation of a chainage; 0.05, a tape's, if not given; not known for GPS and unproven */
      chainagePlusMinusM?: number | null;
      /** adds the published error of this way of surveying: 4 % for the first two, 13 % for the others */
      surveyMethod?: "total-station" | "photographs" | "profile-meter" | "pole" | null;
      /** [%] your own error of the way of surveying, in place of surveyMethod: one standard deviation of the volume */
      methodErrorPct?: number | null;
      /** [t/m3] dry mass of the soil in place per volume; no default, since soils differ */
      bulkDensityTM3?: number | null;
      /** [t/m3] one standard deviation; not known if not given */
      bulkDensityPlusMinusTM3?: number | null;
    };
    output: {
      /** [m3] earth gone from below the lines joining the brinks */
      volumeM3: number;
      /** [m3] one standard deviation, readings and way of surveying together; none when not known */
      plusMinusM3?: number;
      /** [m3] from the readings alone; none when not known */
      readingPlusMinusM3?: number;
      /** [t] dry mass of that earth; none without a bulk density */
      erodedTonnes?: number;
      /** [t] one standard deviation; none when not known */
      erodedTonnesPlusMinusT?: number;
      /** [m2] area of each section */
      areasM2: number[];
      /** the parts of the volume, from the downstream end up */
      intervals: ({
        /** [m] chainage of its downstream end */
        fromM: number;
        /** [m] chainage of its upstream end */
        toM: number;
        /** [m3] between the two */
        volumeM3: number;
        /** how it was taken */
        rule: "end-area" | "prismoidal" | "pyramid";
      })[];
      /** [m3] by how much averaging end areas reads high if width and depth change together; 0 where it was not used */
      readsHighM3: number;
      /** the same as a list to be priced by the computation quantities */
      items: {
        /** what is counted */
        item: string;
        /** in which unit */
        unit: string;
        /** how much of it */
        quantity: number;
        /** one standard deviation in the same unit; none when not known */
        plusMinus?: number;
      }[];
      /** what the sections rest on */
      basis: "levelled" | "taped" | "GPS" | "drawn on the map" | "estimated" | "from plan" | "not recorded" | "unproven";
      /** what to watch for */
      cautions: {
        /** the figure, field or check it is tied to, empty for the whole */
        about: string;
        /** the sentence */
        text: string;
      }[];
    };
  };
  /** how far a gully head cut back between visits, how fast, and whether that is more than noise */
  "retreat": {
    input: {
      /** at least two, in any order, each on a day of its own */
      visits: ({
        /** day of the visit, as in 2024-11-30 */
        date: string;
        /** [deg] longitude and latitude of the head's lip, WGS84; this or offsetM, alike for all visits */
        position?: [number, number] | null;
        /** [m] taped from the stake to the lip */
        offsetM?: number | null;
        /** [m] one standard deviation along any direction; 0.05, a tape's, for offsets; not known for positions */
        accuracyM?: number | null;
        /** how it came about; GPS for a position, taped for an offset, if not given */
        basis?: "levelled" | "taped" | "GPS" | "drawn on the map" | "estimated" | "from plan" | "not recorded" | "unproven" | null;
      })[];
      /** where the stake of the offsets stands; upstream of the head, so that they shrink as it retreats, if not given */
      stake?: "upstream" | "downstream" | null;
      /** [deg] up the gully, clockwise from true north, for positions; this or thalweg */
      bearingDeg?: number | null;
      /** [deg] the bed's line from the downstream end up, past the head, for positions: retreat is then along it */
      thalweg?: [number, number][] | null;
      /** months of the wet, to count the seasons between visits */
      wetSeason?: {
        /** its first month, January is 1 */
        firstMonth: number;
        /** its last month, included; before the first for a season over the new year */
        lastMonth: number;
      } | null;
    };
    output: {
      /** day of the earlier visit */
      from: string;
      /** day of the later visit */
      to: string;
      /** [a] between them, by the calendar: an anniversary is a whole number of years */
      years: number;
      /** [m] up the gully; negative is down it */
      retreatM: number;
      /** [m] one standard deviation; none when not known */
      plusMinusM?: number;
      /** [m/a] retreat over years */
      rateMPerYear: number;
      /** [m/a] one standard deviation; none when not known */
      ratePlusMinusMPerYear?: number;
      /** wet seasons between, a started one by its part */
      wetSeasons?: number;
      /** [m] retreat for each wet season; none where less than half of one lies between */
      retreatMPerSeason?: number;
      /** [m] the least retreat that these measurements could tell from none, at 95 %; none when not known */
      leastProvableM?: number;
      /** whether the retreat is more than the measurements' own scatter, at 95 % */
      moreThanNoise: "yes" | "no" | "cannot tell";
      /** from each visit to the next, by date */
      steps: ({
        /** day of the earlier visit */
        from: string;
        /** day of the later visit */
        to: string;
        /** [a] between them, by the calendar: an anniversary is a whole number of years */
        years: number;
        /** [m] up the gully; negative is down it */
        retreatM: number;
        /** [m] one standard deviation; none when not known */
        plusMinusM?: number;
        /** [m/a] retreat over years */
        rateMPerYear: number;
        /** [m/a] one standard deviation; none when not known */
        ratePlusMinusMPerYear?: number;
        /** wet seasons between, a started one by its part */
        wetSeasons?: number;
        /** [m] retreat for each wet season; none where less than half of one lies between */
        retreatMPerSeason?: number;
        /** [m] the least retreat that these measurements could tell from none, at 95 %; none when not known */
        leastProvableM?: number;
        /** whether the retreat is more than the measurements' own scatter, at 95 % */
        moreThanNoise: "yes" | "no" | "cannot tell";
      })[];
      /** the line through three visits or more; none for positions without a direction */
      trend?: {
        /** [m/a] of the straight line through all visits, by least squares */
        rateMPerYear: number;
        /** [m/a] one standard deviation from the accuracies; none when not known */
        plusMinusMPerYear?: number;
        /** [m/a] standard error from how far the visits lie off the line: large where the head moves by fits and starts */
        scatterMPerYear: number;
        /** whether the rate is more than noise at 95 %: by the accuracies, or where they are not known by the scatter */
        moreThanNoise: "yes" | "no" | "cannot tell";
      };
      /** what the retreat rests on: the weakest of the visits' */
      basis: "levelled" | "taped" | "GPS" | "drawn on the map" | "estimated" | "from plan" | "not recorded" | "unproven";
      /** what to watch for */
      cautions: {
        /** the figure, field or check it is tied to, empty for the whole */
        about: string;
        /** the sentence */
        text: string;
      }[];
    };
  };
  /** how much the outline of a gully head gained in area between days, and whether that is more than noise */
  "head-growth": {
    input: {
      /** the head's edge, on two days or more, in any order */
      outlines: ({
        /** day it was walked, as in 2024-11-30 */
        date: string;
        /** [deg] closed ring of longitude and latitude round the head's edge, WGS84, across the gully always between the same two marks */
        ring: [number, number][];
        /** [m] one standard deviation of a position along any direction; not known if not given */
        accuracyM?: number | null;
        /** how its positions came about; GPS if not given */
        basis?: "levelled" | "taped" | "GPS" | "drawn on the map" | "estimated" | "from plan" | "not recorded" | "unproven" | null;
      })[];
    };
    output: {
      /** day of the earlier outline */
      from: string;
      /** day of the later outline */
      to: string;
      /** [m2] area of the earlier outline */
      fromM2: number;
      /** [m2] area of the later outline */
      toM2: number;
      /** [m2] what it gained */
      growthM2: number;
      /** [m2] one standard deviation; none when not known */
      plusMinusM2?: number;
      /** [m2/a] growth over the years between */
      rateM2PerYear: number;
      /** [m2/a] one standard deviation; none when not known */
      ratePlusMinusM2PerYear?: number;
      /** [m2] smaller growth than this is too small to detect, at 95 %; absent when not known */
      leastProvableM2?: number;
      /** whether the growth is more than noise, at 95 % */
      moreThanNoise: "yes" | "no" | "cannot tell";
      /** from each outline to the next, by date */
      steps: ({
        /** day of the earlier outline */
        from: string;
        /** day of the later outline */
        to: string;
        /** [m2] area of the earlier outline */
        fromM2: number;
        /** [m2] area of the later outline */
        toM2: number;
        /** [m2] what it gained */
        growthM2: number;
        /** [m2] one standard deviation; none when not known */
        plusMinusM2?: number;
        /** [m2/a] growth over the years between */
        rateM2PerYear: number;
        /** [m2/a] one standard deviation; none when not known */
        ratePlusMinusM2PerYear?: number;
        /** [m2] smaller growth than this is too small to detect, at 95 %; absent when not known */
        leastProvableM2?: number;
        /** whether the growth is more than noise, at 95 % */
        moreThanNoise: "yes" | "no" | "cannot tell";
      })[];
      /** what the areas rest on: the weakest of the outlines' */
      basis: "levelled" | "taped" | "GPS" | "drawn on the map" | "estimated" | "from plan" | "not recorded" | "unproven";
      /** what to watch for */
      cautions: {
        /** the figure, field or check it is tied to, empty for the whole */
        about: string;
        /** the sentence */
        text: string;
      }[];
    };
  };
  /** silt caught behind check dams, how far each has filled, and what it weighs */
  "sediment": {
    input: {
      /** the dams, in any order */
      dams: ({
        /** what the dam is called; its place in the list if not given */
        name?: string | null;
        /** [m] of the notch over the old bed at the dam */
        crestHeightM: number;
        /** [m] across the old bed; 0 for a gully like a V */
        bedWidthM: number;
        /** [m] of the gully, bank to bank, at the level of the crest */
        widthAtCrestM: number;
        /** [%] of the old bed upstream of the dam */
        bedSlopePct: number;
        /** [%] one standard deviation of that slope; not known if not given, and then neither is that of a wedge */
        bedSlopePlusMinusPct?: number | null;
        /** [%] slope of the silt's surface; 0, level, if not given */
        depositSlopePct?: number | null;
        /** [m] of the silt over the old bed, at the dam; this or probes */
        siltHeightM?: number | null;
        /** depths of the silt from the dam upstream, the first at the dam */
        probes?: {
          /** [m] upstream of the dam */
          distanceM: number;
          /** [m] from the silt's surface to the old bed; 0 where there is none */
          depthM: number;
        }[] | null;
      })[];
      /** [m] one standard deviation of a height or depth; 0.05, a tape's, if not given */
      heightPlusMinusM?: number | null;
      /** [m] one standard deviation of a width or a distance; 0.05, a tape's, if not given */
      widthPlusMinusM?: number | null;
      /** [t/m3] dry mass of the soil in place per volume; no default, since soils differ */
      bulkDensityTM3?: number | null;
      /** [t/m3] one standard deviation; not known if not given */
      bulkDensityPlusMinusTM3?: number | null;
    };
    output: {
      /** [m3] behind all the dams */
      caughtM3: number;
      /** [m3] one standard deviation; none when not known */
      plusMinusM3?: number;
      /** [t] dry mass; none without a bulk density */
      caughtTonnes?: number;
      /** [t] one standard deviation; none when not known */
      caughtTonnesPlusMinusT?: number;
      /** [m3] of all the wedges to their crests */
      capacityM3: number;
      /** [%] caught over capacity */
      filledPct: number;
      /** dams that have done their job */
      filledDams: number;
      /** each dam, as they were given */
      dams: ({
        /** the dam */
        name: string;
        /** [m3] silt behind it: through the probes, or the even wedge to its height */
        caughtM3: number;
        /** [m3] one standard deviation; none when not known */
        caughtPlusMinusM3?: number;
        /** [t] dry mass; none without a bulk density */
        caughtTonnes?: number;
        /** [m3] of the wedge to the crest */
        capacityM3: number;
        /** [m3] one standard deviation; none when not known */
        capacityPlusMinusM3?: number;
        /** [%] caught over capacity; above 100 where silt lies steeper than reckoned */
        filledPct: number;
        /** [m3] the even wedge to the silt's height at the dam, to compare with what was probed */
        wedgeM3: number;
        /** [m] of the silt at the dam */
        siltHeightM: number;
        /** [m] how far upstream the silt reaches */
        reachM: number;
        /** filled, to within 0.05 m of its crest, has done its job */
        state: "empty" | "filling" | "filled";
      })[];
      /** what the volumes rest on */
      basis: "levelled" | "taped" | "GPS" | "drawn on the map" | "estimated" | "from plan" | "not recorded" | "unproven";
      /** what to watch for */
      cautions: {
        /** the figure, field or check it is tied to, empty for the whole */
        about: string;
        /** the sentence */
        text: string;
      }[];
    };
  };
  /** ground cover from plots or points, with 95 % limits, against a target for the end of the dry */
  "cover": {
    input: {
      /** plots judged by eye or photograph; this or points */
      plots?: ({
        /** what the plot is called */
        name?: string | null;
        /** [%] ground covered by plants, litter, stone or crust */
        coverPct: number;
      })[] | null;
      /** points read along a line, by steps or under a pin frame */
      points?: {
        /** points on cover */
        hits: number;
        /** all points read */
        total: number;
      } | null;
      /** [%] one standard deviation by which the observer judges all plots too high or low; not counted if not given */
      observerPlusMinusPct?: number | null;
      /** a published threshold: runoff small above 50 %, soil loss a tenth from 70 %, sediment least above 75 % */
      target?: "runoff-50" | "soil-loss-70" | "sediment-75" | null;
      /** [%] the local target, in place of target */
      targetPct?: number | null;
      /** day of the assessment, as in 2024-11-30 */
      date?: string | null;
      /** months of the dry where the land lies, to check the date */
      drySeason?: {
        /** its first month, January is 1 */
        firstMonth: number;
        /** its last month, included; before the first for a season over the new year */
        lastMonth: number;
      } | null;
    };
    output: {
      /** [%] share of the ground that is covered */
      coverPct: number;
      /** [%] one standard deviation; none when not known */
      plusMinusPct?: number;
      /** [%] lower 95 % limit */
      lowPct: number;
      /** [%] upper 95 % limit */
      highPct: number;
      /** whether the chosen or local target is met; none without one */
      meetsTarget?: "yes" | "no" | "cannot tell";
      /** the published thresholds, which differ, and the local one */
      targets: ({
        /** its name, or local */
        target: string;
        /** [%] the threshold */
        targetPct: number;
        /** yes when even the lower limit reaches it, no when even the upper one does not */
        meets: "yes" | "no" | "cannot tell";
        /** what the threshold stands for, and who says so */
        why: string;
      })[];
      /** how the limits were found: Wilson's for points, Student's t for plots, none for one plot or plots all alike */
      limits: "Wilson" | "t" | "none";
      /** what to watch for */
      cautions: {
        /** the figure, field or check it is tied to, empty for the whole */
        about: string;
        /** the sentence */
        text: string;
      }[];
    };
  };
  /** what works take, priced at the officer's own rates, by treatment and property */
  "quantities": {
    input: {
      /** the works to build; each takes items, a dam, a batter, sowing, or several of these */
      works: ({
        /** what the work is called; its place in the list if not given */
        name?: string | null;
        /** what it is put under */
        treatment: "check-dam" | "whoa-boy" | "rip-line" | "windrow" | "batter" | "revegetation" | "exclosure" | "rock-faced-head" | "earth-plug" | "brush-fill" | "diversion-bank" | "ponding-bank" | "pitting" | "gypsum" | "fence" | "track" | "other";
        /** on which property, for sums by property */
        property?: string | null;
        /** as many alike; one if not given */
        count?: number | null;
        /** what each takes */
        items?: ({
          /** what is counted, as the rates name it */
          item: string;
          /** in which unit */
          unit: "m" | "km" | "m2" | "ha" | "m3" | "kg" | "t" | "each" | "h";
          /** how much of it */
          quantity: number;
          /** one standard deviation in the same unit; not known if not given */
          plusMinus?: number | null;
        })[] | null;
        /** a dam, as for the computation rock-dam, whose items are taken */
        dam?: {
          /** what the dam is built from; loose rock if not given */
          material?: "loose rock" | "netting and posts" | "brushwood" | "hay bales" | null;
          /** [m] from the bed at the downstream toe to the notch; usually 0.3 to 0.5, at most 1 */
          crestHeightM: number;
          /** [m] the gully across the dam as offset and level of each point, from the left bank to the right; this or bedWidthM with the banks */
          section?: [number, number][] | null;
          /** [m] width of the bed */
          bedWidthM?: number | null;
          /** slope of the left bank, 1 in this; upright if not given */
          leftRunPerRise?: number | null;
          /** slope of the right bank, 1 in this; upright if not given */
          rightRunPerRise?: number | null;
          /** [%] slope of the bed going upstream; taken as level if not given, which counts too much rock */
          bedSlopePct?: number | null;
          /** [m] along the stream, at the shoulders; between two fences or two rows of stakes, from one to the other */
          crestBreadthM?: number | null;
          /** slope of the upstream face, 1 in this; upright if not given */
          upstreamRunPerRise?: number | null;
          /** slope of the downstream face, 1 in this; upright if not given */
          downstreamRunPerRise?: number | null;
          /** [m] from the shoulders down to the lowest part of the crest; no notch if not given */
          notchDepthM?: number | null;
          /** [m] of the notch, across the gully */
          notchLengthM?: number | null;
          /** [m] of the trench that lets the dam into bed and banks, plumb; none if not given */
          keyDepthM?: number | null;
          /** [m] of the trench, along the stream */
          keyWidthM?: number | null;
          /** [m] of the trench beyond the shoulders, into each bank */
          keyIntoBankM?: number | null;
          /** how steeply the stone lies, and whose rule; the steepest of them all bounds the faces if not given */
          stone?: "very angular" | "slightly angular" | "moderately rounded" | "angular, by Heede" | "rounded" | "round, by Heede" | "any, by county manuals" | null;
          /** whose limit for the height to keep to; 1 m is the limit of all */
          heightRule?: "Jepson" | "Australian fact sheets" | "STEP" | "Wisconsin DNR" | "FAO" | null;
          /** how far rock is laid below the toe, and whose rule; Heede if not given */
          apronRule?: "Heede" | "2 m of large stone" | "none" | null;
          /** [m] of the apron along the stream; by the rule if not given */
          apronLengthM?: number | null;
          /** [m] of the apron across; that of the bed, or of the notch if longer, if not given */
          apronWidthM?: number | null;
          /** [m] of the apron; 0.3 if not given */
          apronThicknessM?: number | null;
          /** [%] rock lost and left over, of all rock; none if not given */
          wastagePct?: number | null;
          /** [t/m3] of rock as it lies in the dam; no tonnes if not given */
          bulkTonnesPerM3?: number | null;
          /** [har] above the dam; bounds where bales may stand */
          catchmentHa?: number | null;
          /** [m3/s] over the notch, to size the stone of the face and the apron by; not sized if not given */
          flowM3S?: number | null;
          /** of a dam of netting and posts */
          fences?: {
            /** 2 with the rock between them, 1 with the rock heaped upstream; 2 if not given */
            count?: number | null;
            /** [m] most between posts; 1.2 if not given */
            postSpacingM?: number | null;
            /** [m] length of a post in the ground; 0.6 if not given */
            postIntoGroundM?: number | null;
            /** [m] up each post, between wires that tie the fences; 0.3 if not given */
            tieEveryM?: number | null;
            /** [%] netting lost where rolls meet; 10 if not given */
            netOverlapPct?: number | null;
          } | null;
          /** of a dam of brushwood */
          brush?: {
            /** [m] most between stakes of a row; 0.5 if not given */
            stakeSpacingM?: number | null;
            /** [m] length of a stake in the ground; 0.5 if not given */
            stakeIntoGroundM?: number | null;
            /** [m] of a bundle as it lies tied; no bundles are counted if not given */
            bundleDiameterM?: number | null;
            /** [m] of a bundle */
            bundleLengthM?: number | null;
          } | null;
          /** of a dam of hay bales, which needs it */
          bale?: {
            /** [m] of a bale as it lies */
            heightM: number;
            /** [m] along the stream */
            widthM: number;
            /** [m] across the gully */
            lengthM: number;
            /** [m] how deep it is let into the ground; 0.15 if not given */
            embedM?: number | null;
            /** through each bale; 2 if not given */
            stakesEach?: number | null;
          } | null;
          /** [m] one standard deviation of each size and offset given; not known if not given */
          accuracyM?: number | null;
          /** what the sizes of the gully come from; taped if not given */
          basis?: "levelled" | "taped" | "GPS" | "drawn on the map" | "estimated" | "from plan" | "not recorded" | "unproven" | null;
        } | null;
        /** a batter, as for the computation batter, whose items are taken */
        batter?: {
          /** [m] of the wall, from toe to brink; at most 3 */
          heightM: number;
          /** present slope of the wall, 1 in so many; 0 upright */
          presentRunPerRise: number;
          /** the new slope, 1 in this */
          targetRunPerRise: number;
          /** [m] along the wall; not needed for a head alone */
          lengthM?: number | null;
          /** [m] of a half-round head, at its toe; added to the wall */
          headRadiusM?: number | null;
          /** [m] free bed before the wall, which a balance of cut and fill narrows; not known if not given */
          bedWidthM?: number | null;
          /** stiff clay, not dispersive; loam; under loose rock; under loose rock, planted; sandy or dispersive; or one of grades. Nothing is held against the target if not given */
          soil?: string | null;
          /** the local table, which goes before the one named there */
          grades?: {
            /** its name */
            soil: string;
            /** the steepest allowed is 1 in this */
            leastRunPerRise: number;
            /** where it comes from */
            source: string;
          }[] | null;
          /** [m] spread over the face, square to it; none if not given */
          topsoilDepthM?: number | null;
          /** [m] one standard deviation of the height, of the run over that height, of the length and of the radius; not known if not given */
          accuracyM?: number | null;
          /** what the sizes come from; taped if not given */
          basis?: "levelled" | "taped" | "GPS" | "drawn on the map" | "estimated" | "from plan" | "not recorded" | "unproven" | null;
        } | null;
        /** the batter is cut and filled, not cut alone */
        balanced?: boolean | null;
        /** seed, fertiliser, gypsum and mulch */
        sowing?: ({
          /** the seed, or what is spread */
          item: string;
          /** [m2] in plan */
          areaM2: number;
          /** [m2] one standard deviation; not known if not given */
          areaPlusMinusM2?: number | null;
          /** how much on each hectare or acre; of seed, drilled and pure live unless method and shares are left out */
          rate: number;
          /** unit of rate; kg/ha if not given */
          rateUnit?: "kg/ha" | "t/ha" | "lb/ac" | "short ton/ac" | null;
          /** how seed is sown: broadcast takes twice as much; rate is used as it is if not given */
          method?: "drilled" | "broadcast" | null;
          /** [%] of the seed lot that is this seed; all of it if not given */
          purityPct?: number | null;
          /** [%] of that seed that germinates; all of it if not given */
          germinationPct?: number | null;
        })[] | null;
      })[];
      /** the officer's own, one for each item; what has none stays without a cost */
      rates?: ({
        /** what it is for, as the quantities name it */
        item: string;
        /** for one of which */
        unit: "m" | "km" | "m2" | "ha" | "m3" | "kg" | "t" | "each" | "h";
        /** in currency; not known if not given */
        costPerUnit?: number | null;
        /** [h] of work; not known if not given */
        hoursPerUnit?: number | null;
      })[] | null;
      /** what costs are in, in the officer's words */
      currency?: string | null;
    };
    output: {
      /** every quantity, work by work */
      rows: {
        /** what the work is called */
        work: string;
        /** what it is put under */
        treatment: string;
        /** where the water is */
        property?: string;
        /** what is counted */
        item: string;
        /** how much of it */
        quantity: number;
        /** in which unit */
        unit: string;
        /** one standard deviation in the same unit; none when not known */
        plusMinus?: number;
        /** [h] of work; none without a rate */
        hours?: number;
        /** [h] one standard deviation, the rate taken as exact; none when not known */
        hoursPlusMinus?: number;
        /** in currency; none without a rate */
        cost?: number;
        /** one standard deviation, the rate taken as exact; none when not known */
        costPlusMinus?: number;
        /** which rate is missing */
        note?: string;
      }[];
      /** sums of each treatment */
      treatments: {
        /** the treatment or property; empty for one that was not named, and for all */
        of: string;
        /** [h] of the rows that have hours; none when no row has */
        hours?: number;
        /** [h] one standard deviation; none when not known */
        hoursPlusMinus?: number;
        /** rows without hours: if any, the sum is the least it can be */
        hoursMissing: number;
        /** in currency, of the rows that have a cost; none when no row has */
        cost?: number;
        /** one standard deviation; none when not known */
        costPlusMinus?: number;
        /** rows without a cost: if any, the sum is the least it can be */
        costMissing: number;
      }[];
      /** sums of each property */
      properties: {
        /** the treatment or property; empty for one that was not named, and for all */
        of: string;
        /** [h] of the rows that have hours; none when no row has */
        hours?: number;
        /** [h] one standard deviation; none when not known */
        hoursPlusMinus?: number;
        /** rows without hours: if any, the sum is the least it can be */
        hoursMissing: number;
        /** in currency, of the rows that have a cost; none when no row has */
        cost?: number;
        /** one standard deviation; none when not known */
        costPlusMinus?: number;
        /** rows without a cost: if any, the sum is the least it can be */
        costMissing: number;
      }[];
      /** sum of all */
      total: {
        /** the treatment or property; empty for one that was not named, and for all */
        of: string;
        /** [h] of the rows that have hours; none when no row has */
        hours?: number;
        /** [h] one standard deviation; none when not known */
        hoursPlusMinus?: number;
        /** rows without hours: if any, the sum is the least it can be */
        hoursMissing: number;
        /** in currency, of the rows that have a cost; none when no row has */
        cost?: number;
        /** one standard deviation; none when not known */
        costPlusMinus?: number;
        /** rows without a cost: if any, the sum is the least it can be */
        costMissing: number;
      };
      /** what costs are in, in the officer's words */
      currency: string;
      /** what the sums do not say */
      cautions: {
        /** the figure, field or check it is tied to, empty for the whole */
        about: string;
        /** the sentence */
        text: string;
      }[];
    };
  };
  /** eastings and northings of positions, or the positions of map coordinates, with the datum shift given */
  "map-grid": {
    input: {
      /** UTM, on WGS84; or the Map Grid of Australia, on GDA2020 or the older GDA94 */
      grid: "UTM" | "MGA2020" | "MGA94";
      /** [deg] longitude and latitude of each position, WGS84, to be put on the grid */
      positions?: [number, number][] | null;
      /** coordinates read from the grid, to be turned into positions; give these or positions */
      coordinates?: ({
        /** 1 to 60 */
        zone: number;
        /** which side of the equator; south in Australia */
        hemisphere: "north" | "south";
        /** [m] with the 500000 of the zone's middle in it */
        eastingM: number;
        /** [m] from the equator, southern ones with 10000000 added */
        northingM: number;
      })[] | null;
      /** the zone for all of the positions; each one's own if not given */
      zone?: number | null;
      /** when the positions were fixed, as 2026-11-25: Australia moves 7 cm a year and its datums do not */
      seenOn?: string | null;
      /** [m] one standard deviation of a position along any direction */
      accuracyM?: number | null;
      /** how the positions came about; GPS if not given */
      basis?: "levelled" | "taped" | "GPS" | "drawn on the map" | "estimated" | "from plan" | "not recorded" | "unproven" | null;
    };
    output: {
      /** what eastings and northings stand on */
      datum: string;
      /** in the order they were given */
      points: {
        /** [deg] WGS84 */
        longitude: number;
        /** [deg] WGS84 */
        latitude: number;
        /** 1 to 60 */
        zone: number;
        /** north or south */
        hemisphere: string;
        /** [m] on the grid's own datum */
        eastingM: number;
        /** [m] on the grid's own datum */
        northingM: number;
        /** [m] one standard deviation of easting and of northing, along the grid; none without an accuracy */
        plusMinusM?: number;
        /** [deg] bearing of grid north from true north, east of it positive */
        convergenceDeg: number;
        /** length on the grid over length on the ellipsoid */
        scale: number;
        /** [m] datum shift that is in the easting: how far east of its WGS84 place the grid's datum puts it */
        shiftEastM: number;
        /** [m] datum shift that is in the northing */
        shiftNorthM: number;
      }[];
      /** what the positions come from */
      basis: string;
      /** what to watch for when using them */
      cautions: {
        /** the figure, field or check it is tied to, empty for the whole */
        about: string;
        /** the sentence */
        text: string;
      }[];
    };
  };
}
