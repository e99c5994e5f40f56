package intake

import (
	"encoding/json"
	"slices"
	"strings"
)

// RFC 7946 section 4 did away with the crs member: positions are WGS84. Older programs
// still write it, mostly to say the same.
var (
	lonLatNames = []string{
		"URN:OGC:DEF:CRS:OGC:1.3:CRS84", "URN:OGC:DEF:CRS:OGC::CRS84", "OGC:CRS84", "CRS84",
		"HTTP://WWW.OPENGIS.NET/DEF/CRS/OGC/1.3/CRS84",
	}
	eitherOrderNames = []string{
		"EPSG:4326", "URN:OGC:DEF:CRS:EPSG::4326", "HTTP://WWW.OPENGIS.NET/DEF/CRS/EPSG/0/4326",
	}
)

// checkCRS refuses every crs member but those that mean WGS84, and reports those of them
// whose order of axes is a guess. The others say what is true without them, and GDAL writes one
// into each file.
func (g *geoText) checkCRS(line int, raw json.RawMessage) error {
	const fix = "export it as GeoJSON by RFC 7946, in WGS84"
	crs, _ := members(raw)
	properties, _ := named(crs, "properties")
	inside, _ := members(properties)
	nameRaw, _ := named(inside, "name")
	name, ok := textOf(nameRaw)
	if !ok {
		return g.out.refuse(line, "crs", "names no coordinate system", fix)
	}
	upper := strings.Replace(strings.ToUpper(name), "HTTPS://", "HTTP://", 1)
	switch {
	case slices.Contains(lonLatNames, upper):
	case slices.Contains(eitherOrderNames, upper):
		g.out.report(line, "crs", "is no longer part of GeoJSON; positions are read longitude first whichever "+quote(name)+" says", "check that the places are right")
	default:
		return g.out.refuse(line, "crs", "positions are in "+quote(name)+", not WGS84", fix)
	}
	return nil
}
