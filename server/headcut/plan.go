package main

import (
	"context"
	"encoding/json"
	"fmt"
	"net/url"
	"slices"
	"strings"

	"headcut/model"
	"headcut/model/planning"
	"headcut/server"
)

// planPurposes are what can be planned.
var planPurposes = model.Each(planning.Purposes, func(p planning.Purpose) string { return string(p) })

var planCommand = command{
	data: true, name: "plan", args: "--data DIR --property NAME --of FEATURE [--run RUN] [--zero END] [--set FIELD=VALUE]… [--compare FIELD=VALUE,VALUE…] [--format FORMAT] [--adopt [--author NAME]] " + strings.Join(planPurposes, "|") + "\n--data DIR --property NAME [--format FORMAT] property\n--data DIR --property NAME --list", summary: "plan works from what is recorded",
	help: `
Plans from the register what 'headcut compute' calculates from JSON, and gives the same answer:

  dams        check dams along a thalweg, from the levels of its bed
  whoa-boys   along a track or fence, from its levels and the property's spacing table
  peak-flow   to a gully head, from its catchment
  forage      of a paddock, from its newest pasture assessments, the stock in it and its ground cover
  banks       graded banks of a slope, or above a gully head or scald, from levels down the slope
  rip-lines   on a scald or beside a rip line, from lines whose pegs keep to the contour
  windrows    the same of timber windrows, with their gaps
  batter      of a gully head or edge, from the head's depth and the edge's length, with what is sown on it
  scald       ponding banks, pits, gypsum and seed on a scald, from its boundary and levels down it

FEATURE is a name or the uid of an export. The levels are those of one level run: the newest that
closes, unless --run names another. Dams that are pegged or built keep their reach, and gully heads
are minded. What was used, what was left out and why, and what is still to be measured is printed
below the answer. Where levels of one day contradict each other, two people changed something
differently, or nobody knows where a dam stands that is built, nothing is planned; the exit
status is 1.

--set gives what is not recorded, as 'headcut compute' takes it: crestHeightM and depositSlopePct
(else those of the property's settings), sites, skip, build and notch for dams; table and soil, side
and noOutlet for whoa-boys; coefficient and intensityMmH for a peak flow, or timeOfConcentrationMin by the rainfall
table of the property's settings (rainRows, rainEvent, rainTableDate, rainSource); detachmentPct, ratings and days for
forage; presentRunPerRise, targetRunPerRise and sowing for a batter; ponding, pitting, gypsum (with your own table of
rates, or sodium as a laboratory found it) and sowing for a scald. 'headcut compute NAME --explain' describes them.
Chainages run as those printed: up a gully from its downstream end, down a slope from its top.

Banks take outlet, reaches, bankRunPerRise, topWidthM, freeboardM, settlementPct and lining, and flowM3S
unless a peak flow to the head was adopted. A spacing rule (slopeFactor and constant, rows or
spacingRule, else bankSpacingRule of the property's settings) puts banks all down the slope, going on from those
that stand; for grazing land give your district's own: no published one is known. atM puts one at a chainage;
fromM and toM end what is planned.
For rip lines and windrows apartM plans lines between two that a closed run checks, each with the level at which
to peg it; gapM and gapsApartM leave gaps in windrows, none above another. A line that is not checked
from end to end by a closed run counts as not levelled: it is left out, and what to peg is printed.

Where a peak flow is adopted for the gully's head, or notch gives flowM3S, each dam within 10 m of a levelled
cross-section gets a notch as long as the gully's bottom is wide there, with the water over it and the
freeboard; notch with crestLengthM gives all dams one notch.

Hours and costs are those of the rates in the property's settings, or of --set rates; what has no rate is not
known. A file with a feature of the kind settings sets them: rates, a list of item, unit, costPerUnit and
hoursPerUnit, and currency, the ISO 4217 code of what costs are in.

--compare plans each of some values of one field by itself and prints them side by side, a column for
each: how many works, the lowest and the highest chainage and the height, or the figures of the answer, and hours and
costs where there are rates. What is compared is not adopted: give the value chosen by --set.

--adopt writes the answer down: each work as proposed, with its place, chainage, levels and crest
height by the plan, and the plan itself with its input and what it rests on. A work that is proposed at the same
place already is edited; one that is pegged or built stays as it is, and what differs is printed. Nothing is
struck out, and adopting the same plan again changes nothing. 'headcut intake --undo' undoes it. --list lists the plans that
were adopted, and what of their base has changed since.

property prints what to do first: every eroding place that is recorded, in the order of works, with why it comes
there, what to do, the works at it, and what is not known. Prevention and the cause upslope come first, then
water at the heads, grass on scalds, and last the gully's floor. A place whose recorded cause is a track, a fence
or grazing has that before it. The works that are planned and not built are totalled, with
hours and cost where they are known.

    headcut plan --data DIR --property NAME --of 'Lantern Gully' --set crestHeightM=0.4 dams
    headcut plan --data DIR --property NAME --of 'Lantern Gully' --compare crestHeightM=0.3,0.4,0.5 dams
    headcut plan --data DIR --property NAME property`,
	run: runPlan,
}

// planFormats are what a plan is printed as.
var planFormats = []string{"text", "json", "csv"}

func runPlan(ctx context.Context, c *call) error {
	f := c.flags()
	data := f.String("data", "", "`DIR` data folder")
	property := f.String("property", "", "`NAME` the property")
	of := f.String("of", "", "`FEATURE` name or uid of the gully, track, head, paddock, scald or line")
	run := f.String("run", "", "`RUN` name or uid of the level run to use, which need not close")
	zero := f.String("zero", "", "`END` start or end: at which end of a track's line chainage 0 is")
	var set []string
	severalTimes(f, "set", "`FIELD=VALUE` one field of the input; may be given several times", &set)
	compare := f.String("compare", "", "`FIELD=VALUE,VALUE…` values of one field of the input, to plan side by side")
	format := f.String("format", "text", "`FORMAT` text, json or csv")
	adopt := f.Bool("adopt", false, "write the answer down as proposed works")
	author := f.String("author", "", "`NAME` who adopts it")
	list := f.Bool("list", false, "list the adopted plans, and what of their base has changed")
	if err := c.parse(f); err != nil {
		return err
	}
	if *list && *data != "" && *property != "" && len(c.args) == 0 {
		return listPlans(ctx, c, *data, *property)
	}
	whole := len(c.args) == 1 && c.args[0] == "property"
	if whole && *data != "" && *property != "" && *of+*run+*zero+*author+*compare == "" && len(set) == 0 && !*adopt && !*list {
		if !slices.Contains(planFormats, *format) {
			return c.misused("--format is text, json or csv, not %q", *format)
		}
		return planOrder(ctx, c, *data, *property, *format)
	}
	if whole || *data == "" || *property == "" || *of == "" || len(c.args) != 1 || *list {
		return c.misused("say --data DIR --property NAME --of FEATURE and one of %s; or --data DIR --property NAME and property or --list", strings.Join(planPurposes, ", "))
	}
	ends := map[string]string{"": "", "start": "start of the line", "end": "end of the line"}
	zeroAt, known := ends[*zero]
	switch {
	case !known:
		return c.misused("--zero is start or end, not %q", *zero)
	case !slices.Contains(planFormats, *format):
		return c.misused("--format is text, json or csv, not %q", *format)
	}
	r := server.PlanRequest{Property: *property, Adopt: *adopt, Author: *author,
		Request: planning.Request{Of: *of, Plans: planning.Purpose(c.args[0]), Run: *run, ZeroAt: zeroAt}}
	given, err := beside(nil, set, planning.ComputationOf(r.Plans))
	if err != nil {
		return c.misused("%v", err)
	}
	if len(given) > 0 {
		if err := json.Unmarshal(given, &r.Given); err != nil {
			return err
		}
	}
	if *compare != "" {
		if r.Compare, err = comparedValues(*compare, planning.ComputationOf(r.Plans)); err != nil {
			return c.misused("%v", err)
		}
	}
	planned, err := post[server.Planned](ctx, *data, "/office/plan", r)
	if err != nil {
		return err
	}
	field, _, _ := strings.Cut(*compare, "=")
	return printPlan(c, *data, field, planned, *format)
}

// printPlan prints a plan; field is the one that was compared.
func printPlan(c *call, data, field string, planned server.Planned, format string) error {
	refused := &model.Problem{Reason: "nothing was planned: see above why"}
	switch format {
	case "json":
		e := json.NewEncoder(c.stdout)
		e.SetEscapeHTML(false)
		e.SetIndent("", "  ")
		if err := e.Encode(planned); err != nil || planned.Input != nil {
			return err
		}
		return errReported
	case "csv":
		if planned.Input == nil {
			for _, why := range planned.Refused {
				fmt.Fprintln(c.stderr, why)
			}
			return refused
		}
		if len(planned.Beside) > 0 {
			return writeBesideCSV(c.stdout, field, planned)
		}
		return writePlanCSV(c.stdout, planned)
	}
	out := printed{c.stdout}
	fmt.Fprintf(out, "Plan of %s: %s\n\n", planTables[planned.Plans].title, featureName(planned.Of.Kind, planned.Of.Name, planned.Of.Feature))
	switch {
	case planned.Input == nil:
	case len(planned.Beside) > 0:
		if err := printBeside(out, field, planned); err != nil {
			return err
		}
	default:
		if err := printPlanTable(out, planned); err != nil {
			return err
		}
		printNotch(out, planned)
		fmt.Fprintln(out)
	}
	printBill(out, planned)
	printBase(out, planned)
	if planned.Adoption != nil {
		printAdoption(out, data, planned)
	}
	if planned.Input == nil {
		return refused
	}
	return nil
}

func listPlans(ctx context.Context, c *call, data, property string) error {
	rows, err := list[server.PlanRow](ctx, c, data, "/office/plans?"+url.Values{"property": {property}}.Encode(), "No plan has been adopted.")
	out := printed{c.stdout}
	for _, row := range rows {
		fmt.Fprintf(out, "%s  %s, adopted by %s on %s", row.Feature, row.Name, row.By, model.DayInWords(row.At[:len("2026-11-30")]))
		if len(row.Works) > 0 {
			fmt.Fprintf(out, ": %s", strings.Join(placeWorksWords(row.Works), ", "))
		}
		fmt.Fprintln(out)
		for _, changed := range row.Changed {
			fmt.Fprintf(out, "  %s\n", changed.What)
		}
	}
	return err
}
