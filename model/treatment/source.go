package treatment

import "headcut/model"

// The sources of the rules and screens. Most were read in extracts, not in whole.
var (
	preventionFirst  = model.Source{Title: "Prevention first: stock, tracks and fences before earth and rock", How: model.CommonPractice}
	everyGully       = model.Source{Title: "Grass, fencing and fertiliser help every gully", How: model.CommonPractice}
	grassAlone       = model.Source{Title: "Grass alone stabilises a gully only where it is at most 0.5 m deep, without steep walls or a deep head, and its catchment small", How: model.CommonPractice}
	edgesHeal        = model.Source{Title: "A sharp edge heals once battered, covered with topsoil, sown, fertilised and closed to stock", How: model.CommonPractice}
	wheelRuts        = model.Source{Title: "Tracks need banks once wheel ruts gather flow", How: model.CommonPractice}
	contourByLevel   = model.Source{Title: "Contours for ripping are surveyed by level; between contour banks one may follow the banks", How: model.CommonPractice}
	rippingScalds    = model.Source{Title: "Ripping is for scalds, and for tunnel-eroded ground with care", How: model.CommonPractice}
	timberRows       = model.Source{Title: "Windrows of pushed timber on the contour", How: model.CommonPractice}
	damsCatchSilt    = model.Source{Title: "Low porous dams catch silt so that grass can start", How: model.CommonPractice}
	localMaterial    = model.Source{Title: "Dams are built from local material", How: model.CommonPractice}
	lowStructures    = model.Source{Title: "Structures above a metre are for an engineer", How: model.CommonPractice}
	scanlan          = model.Source{Title: "Scanlan and McIvor 1993", Place: "abstract: runoff and erosion small above 50 % cover", How: model.LookedUp}
	eskdale          = model.Source{Title: "Eskdale rainfall simulation", Place: "key findings: 70 % cover, one tenth of bare", How: model.LookedUp}
	hall             = model.Source{Title: "Hall 2014, RRRD.024, Burdekin land in D condition", Place: "abstract", How: model.LookedUp}
	waterBars        = model.Source{Title: "Keller and Sherar 2003, Low-Volume Roads Engineering", Place: "table 7.2, water bars, erosive soil", How: model.LookedUp}
	frankl           = model.Source{Title: "Frankl et al. 2012, Geomorphology 173-174:185-195", Place: "abstract: up to ten times the loss after roads were built", How: model.LookedUp}
	queenslandTracks = model.Source{Title: "Soil Conservation Guidelines for Queensland", Place: "chapter 14, extract", How: model.LookedUp}
	texasBanks       = model.Source{Title: "Texas Forest Service 2004", Place: "not for springs, seeps or streams", How: model.LookedUp}
	safeOutlets      = model.Source{Title: "Roads for Water, Use basic road-surface drainage", Place: "outlets", How: model.LookedUp}
	sodicLayers      = model.Source{Title: "NSW Local Land Services gully guide, and BMRG gully guide", Place: "dispersive soil: sidewalls slump and wash away, the sodic layer may lie at 0.1 to 0.3 m", How: model.LookedUp}
	jepson           = model.Source{Title: "Jepson, USDA Farmers' Bulletin 1813", Place: "no diversion needed under about 1 acre", How: model.LookedUp}
	burdekin         = model.Source{Title: "Burdekin gully trial, NQ Dry Tropics", Place: "executive summary, page 4", How: model.LookedUp}
	faoWater         = model.Source{Title: "FAO Conservation Guide 13/2 (1986)", Place: "section 2.1, stable outlets", How: model.LookedUp}
	faoBanks         = model.Source{Title: "FAO Conservation Guide 13/2 (1986)", Place: "section 2.1, vertical banks of 20 to 30 m", How: model.LookedUp}
	faoBrush         = model.Source{Title: "FAO Conservation Guide 13/2 (1986)", Place: "section 3.1, brush fill", How: model.LookedUp}
	faoPlug          = model.Source{Title: "FAO Conservation Guide 13/2 (1986)", Place: "section 3.2, earth plugs", How: model.LookedUp}
	faoLarge         = model.Source{Title: "FAO Conservation Guide 13/2 (1986)", Place: "size classes: large over 5 m or 20 ha", How: model.FromMemory}
	neighbours       = model.Source{Title: "WA DPIRD", Place: "not onto another property, nor cutting stream flow", How: model.LookedUp}
	dryTropicsBank   = model.Source{Title: "NQ Dry Tropics", Place: "diversion bank at 1 in 300", How: model.LookedUp}
	twoSeasons       = model.Source{Title: "NRCS Arizona 550, Range Planting (2006)", Place: "stock out for two growing seasons", How: model.LookedUp}
	oneToOne         = model.Source{Title: "Handbook on combating desertification", Place: "figure 8.12, poor scan, may read 1.5:1", How: model.LookedUp}
	nrcsRip          = model.Source{Title: "NRCS 548, Grazing Land Mechanical Treatment (1995)", Place: "under 30 %, rest from grazing after", How: model.LookedUp}
	arizonaRip       = model.Source{Title: "NRCS Arizona 548", Place: "under 15 %", How: model.LookedUp}
	carelessRipping  = model.Source{Title: "Victorian note LC0061 (Cummings 1999)", Place: "careless ripping among the causes of tunnels", How: model.LookedUp}
	tasmania         = model.Source{Title: "NRE Tasmania, tunnel erosion", Place: "deep ripping among the controls, which may fail", How: model.LookedUp}
	contourLogs      = model.Source{Title: "Guides to contour-felled logs", Place: "one stops at 40 %, another allows 25 to 60 %", How: model.LookedUp}
	logsOnContour    = model.Source{Title: "Burned-area guides to contour-felled logs", Place: "staying on the contour decides", How: model.LookedUp}
	styxGypsum       = model.Source{Title: "Catchment Solutions, gully works in the Styx catchment", Place: "gypsum 10 t/ha, lime 2 t/ha, shallow ripping under 200 mm, mulch", How: model.LookedUp}
	gypsumHelps      = model.Source{Title: "Gypsum acts when it is dissolved and washed down, for a few seasons, and not on ground that does not disperse", How: model.CommonPractice}
	gypsumNeed       = model.Source{Title: "NDSU after Oster 1999, gypsum requirement", Place: "rate from exchangeable sodium; that a crumb is tried in gypsum water too is common practice, no source", How: model.LookedUp}
	pitsWork         = model.Source{Title: "Friedel et al. 1996", Place: "pits and furrows in central Australia: 280 mm or more, sandy clay loam or lighter", How: model.LookedUp}
	waterponds       = model.Source{Title: "Thompson 2008, and Central West LLS, waterponding", Place: "flat scalds only, water to 100 mm; bare to 70 % cover in a year", How: model.LookedUp}
	pondingBunds     = model.Source{Title: "FU Berlin, water harvesting, after Mekdaschi and Liniger 2013", Place: "trapezoidal bunds on 0.25 to 1.5 %", How: model.LookedUp}
	kimberleyPonds   = model.Source{Title: "Kimberley ponding banks (2011)", Place: "a level is needed", How: model.LookedUp}
	pondSlope        = model.Source{Title: "Ponding banks are practical to about 0.4 to 0.5 %: a pond 0.1 m deep is then 20 to 25 m wide", How: model.FromMemory}
	noPondOnSodic    = model.Source{Title: "No water is ponded on dispersive subsoil without gypsum, and no bank is built of it: it leaks along cracks and tunnels", How: model.CommonPractice}
	topsoilBatters   = model.Source{Title: "Trial of dispersive batters, as quoted in an abstract", Place: "10 to 26 % cover after a year without 0.1 m of topsoil; with it straw was enough", How: model.LookedUp}
	gullyWalls       = model.Source{Title: "Wilkinson et al. 2018, doi 10.1002/esp.4339", Place: "85 % of the sediment from walls", How: model.LookedUp}
	shallowHeads     = model.Source{Title: "Addisie et al. 2018, Water 10(4):389", Place: "heads under 3 m regraded to 1:1 and rocked stopped; planted ones still moved", How: model.LookedUp}
	batterGrades     = model.Source{Title: "Usual batter grades: clay 1 in 1.5 to 2, loam 1 in 2 to 3, sand or dispersive 1 in 3 to 4", How: model.FromMemory}
	waterUnderRock   = model.Source{Title: "Catchments & Creeks, Gully Erosion Part 3", Place: "water under or round the rock", How: model.LookedUp}
	fillWashesOut    = model.Source{Title: "Northern Territory gully fact sheet", Place: "fill before flow is controlled", How: model.LookedUp}
	deeperThanRill   = model.Source{Title: "NSW Local Land Services; Healthy Land & Water; Gully Toolbox 2015", Place: "a gully is deeper than 0.30 m", How: model.LookedUp}
	belowTheHead     = model.Source{Title: "A low dam stands 4 to 6 heights of the head below it, clear of the plunge", How: model.CommonPractice}
	daneSlope        = model.Source{Title: "Dane County (Wisconsin) Erosion Control Manual", Place: "check dams may be impractical over 6 %", How: model.LookedUp}
	daneArea         = model.Source{Title: "Dane County (Wisconsin) Erosion Control Manual", Place: "stone checks to 10 acres", How: model.LookedUp}
	twoHeights       = model.Source{Title: "Level crest to toe: spacing is height over slope, under twice the height past 50 %", How: model.Derived}
	narrowGullies    = model.Source{Title: "Desta et al. 2005, as cited by a later page", Place: "brushwood dams in gullies under 3 m wide", How: model.LookedUp}
	balesWyoming     = model.Source{Title: "USDA NRCS Wyoming, Straw Bale Check Dam", Place: "limits table", How: model.LookedUp}
	balesRefused     = model.Source{Title: "Washington State BMP C207; Broken Arrow BMP manual", Place: "no bales in concentrated flow", How: model.LookedUp}
	judgement        = model.Source{Title: "Screen for planting and fencing only, a judgement from several handbooks, printed nowhere", How: model.Derived}
)
