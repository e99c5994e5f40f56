package treatment

// Size is the size class of a gully by FAO Conservation Guide 13/2 (1986), from memory:
// small under 1 m deep and 2 ha, large over 5 m and 20 ha, medium between.
type Size string

// The sizes.
const (
	Small  Size = "small"
	Medium Size = "medium"
	Large  Size = "large"
)

// Sizes lists every size.
var Sizes = []Size{Small, Medium, Large}

// SizeOf is the class by depth and by catchment. The guide does not say what holds where
// the two disagree, so both are given; nor on a boundary, where the smaller is taken.
func SizeOf(depthM, catchmentHa float64) (byDepth, byCatchment Size) {
	return size(depthM, 1, 5), size(catchmentHa, 2, 20)
}

func size(v, medium, large float64) Size {
	switch {
	case v > large:
		return Large
	case v > medium:
		return Medium
	}
	return Small
}

// DamBelowHeadM is how far below a head of this depth a low dam is put to catch silt at
// its foot: 4 to 6 times the depth. Common practice, no source.
func DamBelowHeadM(headDepthM float64) (fromM, toM float64) { return 4 * headDepthM, 6 * headDepthM }
