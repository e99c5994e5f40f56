package boltstore

import (
	"bytes"
	"math"

	"github.com/paulmach/orb"
	"go.etcd.io/bbolt"
)

// The index of places is a loose quadtree over a square of 360 by 360 degrees. A place
// stands in the cell that holds the middle of its box, on the deepest level whose cells
// are no smaller than the box; so it lies within that cell grown by half a side all
// round. Keys hold the way down, so that all below a cell is one range.

const (
	deepestLevel = 20 // cells of 1.2 seconds of arc, about 38 m
	squareDeg    = 360
)

// cell is a square of the tree, in fractions of the whole.
type cell struct {
	path       []byte
	x, y, size float64
}

var wholeEarth = cell{size: 1}

func (c cell) child(quarter int) cell {
	half := c.size / 2
	path := append(bytes.Clone(c.path), byte('1'+quarter))
	return cell{path: path, x: c.x + half*float64(quarter&1), y: c.y + half*float64(quarter>>1), size: half}
}

// loose is the box, in degrees, within which everything of c and below lies. It is a
// little wider than need be, so that rounding never hides a place.
func (c cell) loose() orb.Bound {
	const slack = 1e-9
	low, high := -c.size/2-slack, c.size*1.5+slack
	return orb.Bound{
		Min: orb.Point{(c.x+low)*squareDeg - 180, (c.y+low)*squareDeg - 90},
		Max: orb.Point{(c.x+high)*squareDeg - 180, (c.y+high)*squareDeg - 90},
	}
}

// cellPath is the way down to the cell of a box.
func cellPath(b orb.Bound) []byte {
	size := max(b.Max[0]-b.Min[0], b.Max[1]-b.Min[1]) / squareDeg
	x, y := (b.Min[0]+b.Max[0]+360)/2/squareDeg, (b.Min[1]+b.Max[1]+180)/2/squareDeg
	var path []byte
	for level := 1; level <= deepestLevel && math.Ldexp(1, -level) >= size; level++ {
		x, y = x*2, y*2
		quarter := byte('1')
		if x >= 1 {
			quarter, x = quarter+1, x-1
		}
		if y >= 1 {
			quarter, y = quarter+2, y-1
		}
		path = append(path, quarter)
	}
	return path
}

func cellKey(property uint32, b orb.Bound, feature string) []byte {
	key := append(u32(property), cellPath(b)...)
	return append(append(key, 0), feature...)
}

// featuresIn collects the names of features that may meet the box.
func featuresIn(tx *bbolt.Tx, property uint32, box orb.Bound) []string {
	w := cellWalk{cursor: tx.Bucket(cellsBucket).Cursor(), property: property, box: box}
	w.visit(wholeEarth)
	return w.found
}

type cellWalk struct {
	cursor   *bbolt.Cursor
	property uint32
	box      orb.Bound
	found    []string
}

func (w *cellWalk) visit(c cell) {
	loose := c.loose()
	if !loose.Intersects(w.box) {
		return
	}
	prefix := append(u32(w.property), c.path...)
	key, _ := w.cursor.Seek(prefix)
	if !bytes.HasPrefix(key, prefix) {
		return
	}
	if w.box.Contains(loose.Min) && w.box.Contains(loose.Max) {
		w.collect(key, prefix)
		return
	}
	w.collect(key, append(prefix, 0))
	if len(c.path) < deepestLevel {
		for quarter := range 4 {
			w.visit(c.child(quarter))
		}
	}
}

// collect takes all features under prefix, from the key at which the cursor stands.
func (w *cellWalk) collect(key, prefix []byte) {
	for ; bytes.HasPrefix(key, prefix); key, _ = w.cursor.Next() {
		if end := bytes.IndexByte(key[4:], 0); end >= 0 {
			w.found = append(w.found, string(key[4+end+1:]))
		}
	}
}
