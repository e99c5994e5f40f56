package treatment

import "headcut/model"

func practice(rule string) model.Source { return model.Source{Title: rule, How: model.CommonPractice} }
func read(title, place string) model.Source {
	return model.Source{Title: title, Place: place, How: model.LookedUp}
}

// The sources of the rules and screens. Most were read in extracts, not in whole.
var (
	preventionFirst  = practice("Prevention first: stock, tracks and fences before earth and rock")
	everyGully       = practice("Grass, fencing and fertiliser help every gully")
	grassAlone       = practice("Grass alone stabilises a gully only where it is at most 0.5 m deep, without steep walls or a deep head, and its catchment small")
	edgesHeal        = practice("A sharp edge heals once battered, covered with topsoil, sown, fertilised and closed to stock")
	wheelRuts        = practice("Tracks need banks once wheel ruts gather flow")
	contourByLevel   = practice("Contours for ripping are surveyed by level; between contour banks one may follow the banks")
	rippingScalds    = practice("Ripping is for scalds, and for tunnel-eroded ground with care")
	timberRows       = practice("Windrows of pushed timber on the contour")
	damsCatchSilt    = practice("Low porous dams catch silt so that grass can start")
	localMaterial    = practice("Dams are built from local material")
	lowStructures    = practice("Structures above a metre are for an engineer")
	scanlan          = read("Scanlan and McIvor 1993", "abstract: runoff and erosion small above 50 % cover")
	eskdale          = read("Eskdale rainfall simulation", "key findings: 70 % cover, one tenth of bare")
	hall             = read("Hall 2014, RRRD.024, Burdekin land in D condition", "abstract")
	waterBars        = read("Keller and Sherar 2003, Low-Volume Roads Engineering", "table 7.2, water bars, erosive soil")
	frankl           = read("Frankl et al. 2012, Geomorphology 173-174:185-195", "abstract: up to ten times the loss after roads were built")
	queenslandTracks = read("Soil Conservation Guidelines for Queensland", "chapter 14, extract")
	texasBanks       = read("Texas Forest Service 2004", "not for springs, seeps or streams")
	safeOutlets      = read("Roads for Water, Use basic road-surface drainage", "outlets")
	sodicLayers      = read("NSW Local Land Services gully guide, and BMRG gully guide", "dispersive soil: sidewalls slump and wash away, the sodic layer may lie at 0.1 to 0.3 m")
	jepson           = read("Jepson, USDA Farmers' Bulletin 1813", "no diversion needed under about 1 acre")
	burdekin         = read("Burdekin gully trial, NQ Dry Tropics", "executive summary, page 4")
	faoWater         = read("FAO Conservation Guide 13/2 (1986)", "section 2.1, stable outlets")
	faoBanks         = read("FAO Conservation Guide 13/2 (1986)", "section 2.1, vertical banks of 20 to 30 m")
	faoBrush         = read("FAO Conservation Guide 13/2 (1986)", "section 3.1, brush fill")
	faoPlug          = read("FAO Conservation Guide 13/2 (1986)", "section 3.2, earth plugs")
	faoLarge         = model.Source{Title: "FAO Conservation Guide 13/2 (1986)", Place: "size classes: large over 5 m or 20 ha", How: model.FromMemory}
	neighbours       = read("WA DPIRD", "not onto another property, nor cutting stream flow")
	dryTropicsBank   = read("NQ Dry Tropics", "diversion bank at 1 in 300")
	twoSeasons       = read("NRCS Arizona 550, Range Planting (2006)", "stock out for two growing seasons")
	oneToOne         = read("Handbook on combating desertification", "figure 8.12, poor scan, may read 1.5:1")
	nrcsRip          = read("NRCS 548, Grazing Land Mechanical Treatment (1995)", "under 30 %, rest from grazing after")
	arizonaRip       = read("NRCS Arizona 548", "under 15 %")
	carelessRipping  = read("Victorian note LC0061 (Cummings 1999)", "careless ripping among the causes of tunnels")
	tasmania         = read("NRE Tasmania, tunnel erosion", "deep ripping among the controls, which may fail")
	contourLogs      = read("Guides to contour-felled logs", "one stops at 40 %, another allows 25 to 60 %")
	logsOnContour    = read("Burned-area guides to contour-felled logs", "staying on the contour decides")
	styxGypsum       = read("Catchment Solutions, gully works in the Styx catchment", "gypsum 10 t/ha, lime 2 t/ha, shallow ripping under 200 mm, mulch")
	gypsumHelps      = practice("Gypsum acts when it is dissolved and washed down, for a few seasons, and not on ground that does not disperse")
	gypsumNeed       = read("NDSU after Oster 1999, gypsum requirement", "rate from exchangeable sodium; that a crumb is tried in gypsum water too is common practice, no source")
	pitsWork         = read("Friedel et al. 1996", "pits and furrows in central Australia: 280 mm or more, sandy clay loam or lighter")
	waterponds       = read("Thompson 2008, and Central West LLS, waterponding", "flat scalds only, water to 100 mm; bare to 70 % cover in a year")
	pondingBunds     = read("FU Berlin, water harvesting, after Mekdaschi and Liniger 2013", "trapezoidal bunds on 0.25 to 1.5 %")
	kimberleyPonds   = read("Kimberley ponding banks (2011)", "a level is needed")
	pondSlope        = model.Source{Title: "Ponding banks are practical to about 0.4 to 0.5 %: a pond 0.1 m deep is then 20 to 25 m wide", How: model.FromMemory}
	noPondOnSodic    = practice("No water is ponded on dispersive subsoil without gypsum, and no bank is built of it: it leaks along cracks and tunnels")
	topsoilBatters   = read("Trial of dispersive batters, as quoted in an abstract", "10 to 26 % cover after a year without 0.1 m of topsoil; with it straw was enough")
	gullyWalls       = read("Wilkinson et al. 2018, doi 10.1002/esp.4339", "85 % of the sediment from walls")
	shallowHeads     = read("Addisie et al. 2018, Water 10(4):389", "heads under 3 m regraded to 1:1 and rocked stopped; planted ones still moved")
	batterGrades     = model.Source{Title: "Usual batter grades: clay 1 in 1.5 to 2, loam 1 in 2 to 3, sand or dispersive 1 in 3 to 4", How: model.FromMemory}
	waterUnderRock   = read("Catchments & Creeks, Gully Erosion Part 3", "water under or round the rock")
	fillWashesOut    = read("Northern Territory gully fact sheet", "fill before flow is controlled")
	deeperThanRill   = read("NSW Local Land Services; Healthy Land & Water; Gully Toolbox 2015", "a gully is deeper than 0.30 m")
	belowTheHead     = practice("A low dam stands 4 to 6 heights of the head below it, clear of the plunge")
	daneSlope        = read("Dane County (Wisconsin) Erosion Control Manual", "check dams may be impractical over 6 %")
	daneArea         = read("Dane County (Wisconsin) Erosion Control Manual", "stone checks to 10 acres")
	twoHeights       = model.Source{Title: "Level crest to toe: spacing is height over slope, under twice the height past 50 %", How: model.Derived}
	narrowGullies    = read("Desta et al. 2005, as cited by a later page", "brushwood dams in gullies under 3 m wide")
	balesWyoming     = read("USDA NRCS Wyoming, Straw Bale Check Dam", "limits table")
	balesRefused     = read("Washington State BMP C207; Broken Arrow BMP manual", "no bales in concentrated flow")
	judgement        = model.Source{Title: "Screen for planting and fencing only, a judgement from several handbooks, printed nowhere", How: model.Derived}
)
