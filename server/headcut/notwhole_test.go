package main

import "testing"

// TestNotWhole: files that were refused, and those taken in partly, are counted apart.
func TestNotWhole(t *testing.T) {
	for _, c := range []struct {
		files, refused, partly int
		want                   string
	}{
		{1, 1, 0, "the file was refused"},
		{1, 0, 1, "the file was taken in without what is listed above"},
		{2, 1, 1, "1 of 2 files was refused; 1 of 2 files was taken in without what is listed above"},
		{5, 2, 3, "2 of 5 files were refused; 3 of 5 files were taken in without what is listed above"},
		{2, 1, 0, "1 of 2 files was refused"},
	} {
		if p := plainly(notWhole(c.files, c.refused, c.partly)); p == nil || p.Reason != c.want {
			t.Errorf("%d refused and %d partly of %d: %v, want %q", c.refused, c.partly, c.files, p, c.want)
		}
	}
	if err := notWhole(3, 0, 0); err != nil {
		t.Errorf("all of 3 files: %v", err)
	}
}
