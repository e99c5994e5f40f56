package boltstore

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// onPage is an element of a page.
type onPage struct {
	key, value string
	flags      uint32 // of a leaf
	leads      uint64 // of a branch
}

// pageOf is a page as bbolt writes it: its elements, then their keys and values.
func pageOf(id uint64, flags uint16, overflow uint32, all ...onPage) []byte {
	page := order.AppendUint64(nil, id)
	page = order.AppendUint16(page, flags)
	page = order.AppendUint16(page, uint16(len(all)))
	page = order.AppendUint32(page, overflow)
	at := len(all) * elementSize // from the element on
	for _, e := range all {
		if flags == branchPage {
			page = order.AppendUint32(order.AppendUint32(page, uint32(at)), uint32(len(e.key)))
			page = order.AppendUint64(page, e.leads)
		} else {
			page = order.AppendUint32(order.AppendUint32(page, e.flags), uint32(at))
			page = order.AppendUint32(order.AppendUint32(page, uint32(len(e.key))), uint32(len(e.value)))
		}
		at += len(e.key) + len(e.value) - elementSize
	}
	for _, e := range all {
		page = append(append(page, e.key...), e.value...)
	}
	return page
}

// changed is a page with one byte set.
func changedAt(page []byte, at int, to byte) []byte {
	page = slices.Clone(page)
	page[at] = to
	return page
}

// TestElementsOfPages: what a page leads to, and what is wrong with one that is broken, at the last byte.
func TestElementsOfPages(t *testing.T) {
	two := pageOf(9, leafPage, 0, onPage{key: "a", value: "x"}, onPage{key: "b"})
	bucket := func(value string) []byte {
		return pageOf(9, leafPage, 0, onPage{key: "b", value: value, flags: bucketLeaf})
	}
	rooted := string(order.AppendUint64(nil, 77)) + "sequence"
	small := string(make([]byte, bucketHeader))
	for name, c := range map[string]struct {
		page     []byte
		bad      string
		children string
		keys     string
	}{
		"two":                                 {two, "", "[]", "a b"},
		"no leaf":                             {pageOf(9, leafPage, 0), "", "[]", " "},
		"no branch":                           {pageOf(9, branchPage, 0), "is a branch without children", "[]", " "},
		"branches":                            {pageOf(9, branchPage, 0, onPage{key: "a", leads: 5}, onPage{key: "b", leads: 6}), "", "[{5 [97]} {6 [98]}]", "a b"},
		"a branch of no key":                  {pageOf(9, branchPage, 0, onPage{leads: 5}), "", "[{5 []}]", " "},
		"cut in an element":                   {pageOf(9, branchPage, 0, onPage{leads: 5})[:pageHeader+elementSize-1], "has more elements than fit", "[]", " "},
		"cut in a value":                      {pageOf(9, leafPage, 0, onPage{key: "a", value: "x"})[:pageHeader+elementSize+1], "lies outside it", "[]", " "},
		"within the elements":                 {changedAt(two, pageHeader+4, 2*elementSize-1), "lies outside it", "[]", " "},
		"no key":                              {pageOf(9, leafPage, 0, onPage{value: "x"}), "keys out of order", "[]", " "},
		"one key twice":                       {pageOf(9, leafPage, 0, onPage{key: "a"}, onPage{key: "a"}), "keys out of order", "[]", "a "},
		"falling keys":                        {pageOf(9, leafPage, 0, onPage{key: "b"}, onPage{key: "a"}), "keys out of order", "[]", "b "},
		"of no known sort":                    {pageOf(9, leafPage, 0, onPage{key: "a", flags: 2}), "of no known sort", "[]", "a "},
		"a branch looks at no sort":           {pageOf(9, branchPage, 0, onPage{key: "abc", leads: 1}), "", "[{1 [97 98 99]}]", "abc abc"},
		"a bucket":                            {bucket(rooted), "", "[{77 []}]", "b b"},
		"a bucket that is cut":                {bucket(rooted[:bucketHeader-1]), "bucket that is cut short", "[]", "b "},
		"a small bucket":                      {bucket(small + string(pageOf(0, leafPage, 0, onPage{key: "a"}))), "", "[]", "b b"},
		"a small bucket of nothing":           {bucket(small + string(pageOf(0, leafPage, 0))), "", "[]", "b b"},
		"a small bucket without a page":       {bucket(small + string(pageOf(0, leafPage, 0)[:pageHeader-1])), "small bucket that is broken", "[]", "b "},
		"a small bucket of branches":          {bucket(small + string(pageOf(0, branchPage, 0, onPage{key: "a"}))), "small bucket that is broken", "[]", "b "},
		"a small bucket that is broken":       {bucket(small + string(pageOf(0, leafPage, 0, onPage{key: "a"}, onPage{key: "a"}))), "keys out of order", "[]", "b "},
		"a small bucket in a small bucket":    {bucket(small + string(pageOf(0, leafPage, 0, onPage{key: "a", value: small + string(pageOf(0, leafPage, 0)), flags: bucketLeaf}))), "", "[]", "b b"},
		"a rooted bucket in a small bucket":   {bucket(small + string(pageOf(0, leafPage, 0, onPage{key: "a", value: rooted, flags: bucketLeaf}))), "bucket within a bucket", "[]", "b "},
		"a bucket and what is behind, broken": {pageOf(9, leafPage, 0, onPage{key: "b", value: rooted, flags: bucketLeaf}, onPage{key: "a"}), "keys out of order", "[{77 []}]", "b "},
	} {
		n := pageNote{flags: order.Uint16(c.page[8:])}
		bad := n.readElements(c.page)
		if (bad == "") != (c.bad == "") || !strings.Contains(bad, c.bad) || fmt.Sprint(n.children) != c.children || string(n.first)+" "+string(n.last) != c.keys {
			t.Errorf("%s: %q, leads to %v, keys %s to %s; want %q, %s, %s", name, bad, n.children, n.first, n.last, c.bad, c.children, c.keys)
		}
	}
}

// TestListsOfFreePages: a short list has its length in the page's header, a long one before it.
func TestListsOfFreePages(t *testing.T) {
	list := func(count uint16, numbers ...uint64) []byte {
		page := pageOf(2, freelistPage, 0)
		order.PutUint16(page[10:], count)
		for _, n := range numbers {
			page = order.AppendUint64(page, n)
		}
		return page
	}
	for name, c := range map[string]struct {
		page []byte
		free []uint64
		bad  string
	}{
		"none":              {list(0), nil, ""},
		"two":               {list(2, 7, 9), []uint64{7, 9}, ""},
		"fewer than fit":    {list(1, 7, 9), []uint64{7}, ""},
		"more than fit":     {list(3, 7, 9), nil, "more free pages than it has"},
		"long":              {list(0xFFFF, 2, 7, 9), []uint64{7, 9}, ""},
		"long, of none":     {list(0xFFFF, 0), nil, ""},
		"long, too many":    {list(0xFFFF, 3, 7, 9), nil, "more free pages than it has"},
		"long, cut":         {list(0xFFFF, 0)[:pageHeader+7], nil, "cut short"},
		"the most of short": {list(0xFFFE, make([]uint64, 0xFFFE)...), make([]uint64, 0xFFFE), ""},
	} {
		free, bad := readFreelist(c.page)
		if !slices.Equal(free, c.free) || (bad == "") != (c.bad == "") || !strings.Contains(bad, c.bad) {
			t.Errorf("%s: %d free pages, %q", name, len(free), bad)
		}
	}
}

// fileOf is a file of pages of 4096 bytes, with meta pages before them that lead to page 3 and have the
// list of free pages as page 2.
func fileOf(t *testing.T, pages uint64, change func([]byte), all ...[]byte) string {
	t.Helper()
	const size = 4096
	file := make([]byte, pages*size)
	copy(file, metaWritten(size, pages, 7, change))
	copy(file[size:], metaWritten(size, pages, 6, change))
	order.PutUint64(file, 0)
	for _, page := range all {
		copy(file[order.Uint64(page)*size:], page)
	}
	path := filepath.Join(t.TempDir(), "file")
	if err := os.WriteFile(path, file, 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

// TestTreesOfPages: each page is in use once or free once, and holds the keys that the tree looks for in it.
func TestTreesOfPages(t *testing.T) {
	free := func(numbers ...uint64) []byte {
		page := pageOf(2, freelistPage, 0)
		order.PutUint16(page[10:], uint16(len(numbers)))
		for _, n := range numbers {
			page = order.AppendUint64(page, n)
		}
		return page
	}
	leaf := func(id uint64, keys ...string) []byte {
		var all []onPage
		for _, key := range keys {
			all = append(all, onPage{key: key})
		}
		return pageOf(id, leafPage, 0, all...)
	}
	root := pageOf(3, branchPage, 0, onPage{key: "b", leads: 4}, onPage{key: "d", leads: 5}, onPage{key: "f", leads: 6})
	whole := [][]byte{free(), root, leaf(4, "b", "c"), leaf(5, "d", "e"), leaf(6, "f", "z")}
	with := func(page []byte) [][]byte { // in place of the one of its number
		all := slices.Clone(whole)
		all[order.Uint64(page)-2] = page
		return all
	}
	bucket := func(leads uint64) string { return string(order.AppendUint64(nil, leads)) + "sequence" }
	roots := [][]byte{free(), pageOf(3, leafPage, 0, onPage{key: "p", value: bucket(4), flags: bucketLeaf}, onPage{key: "q", value: bucket(5), flags: bucketLeaf}),
		pageOf(4, branchPage, 0, onPage{key: "a", leads: 6}), leaf(5, "x"), leaf(6, "a")}
	deep := func(left, right []byte) [][]byte {
		return [][]byte{free(), pageOf(3, branchPage, 0, onPage{key: "b", leads: 4}, onPage{key: "m", leads: 5}),
			pageOf(4, branchPage, 0, onPage{key: "b", leads: 6}), pageOf(5, branchPage, 0, onPage{key: "m", leads: 7}), left, right}
	}
	longLeaf := pageOf(4, leafPage, 1, onPage{key: "b", value: strings.Repeat("v", 5000)})
	for name, c := range map[string]struct {
		pages  uint64
		change func([]byte)
		all    [][]byte
		bad    string // of all pages
		tree   string // of those above the leaves
	}{
		"whole":                       {7, nil, whole, "", ""},
		"buckets":                     {7, nil, roots, "", ""},
		"one root alone":              {4, nil, [][]byte{free(), leaf(3, "a")}, "", ""},
		"a free page":                 {5, nil, [][]byte{free(4), leaf(3, "a")}, "", ""},
		"a page of neither":           {5, nil, [][]byte{free(), leaf(3, "a")}, "page 4 is neither in use nor free", ""},
		"free twice":                  {5, nil, [][]byte{free(4, 4), leaf(3, "a")}, "page 4 is used twice or lies outside the file, as free page", ""},
		"free and in use":             {4, nil, [][]byte{free(3), leaf(3, "a")}, "page 3 is used twice", ""},
		"free, out of the file":       {4, nil, [][]byte{free(4), leaf(3, "a")}, "page 4 is used twice or lies outside", ""},
		"a free meta page":            {4, nil, [][]byte{free(1), leaf(3, "a")}, "page 1 is used twice", ""},
		"a list that is none":         {4, nil, [][]byte{leaf(2, "a"), leaf(3, "a")}, "the list of free pages, page 2, is broken", ""},
		"a list out of the file":      {4, func(b []byte) { order.PutUint64(b[32:], 4) }, [][]byte{free(), leaf(3, "a")}, "the list of free pages, page 4, lies outside", ""},
		"a root out of the file":      {4, func(b []byte) { order.PutUint64(b[16:], 4) }, [][]byte{free(3), leaf(3, "a")}, "page 4 is not of the file", "leads to page 4 twice, or out of the file"},
		"a root that is a meta page":  {4, func(b []byte) { order.PutUint64(b[16:], 1) }, [][]byte{free(3), leaf(3, "a")}, "page 1", "leads to page 1 twice, or out of the file"},
		"a root that is a list":       {4, func(b []byte) { order.PutUint64(b[16:], 2) }, [][]byte{free(3), leaf(3, "a")}, "page 2 is not of the tree", "page 2 is not of the tree"},
		"a page led to twice":         {7, nil, with(pageOf(3, branchPage, 0, onPage{key: "b", leads: 4}, onPage{key: "d", leads: 5}, onPage{key: "f", leads: 5})), "page 5", "leads to page 5 twice"},
		"a ring":                      {7, nil, with(pageOf(3, branchPage, 0, onPage{key: "b", leads: 4}, onPage{key: "d", leads: 5}, onPage{key: "f", leads: 3})), "", "leads to page 3 twice"},
		"a page of another number":    {7, nil, append(slices.Clone(whole[:4]), changedAt(make([]byte, 16), 0, 6)), "page 6 is not of the tree", ""},
		"a key below its page":        {7, nil, with(leaf(5, "c", "e")), "page 5 has keys that belong to another page", ""},
		"a key at the next page":      {7, nil, with(leaf(5, "d", "f")), "page 5 has keys that belong to another page", ""},
		"a key above the first page":  {7, nil, with(leaf(4, "b", "d")), "page 4 has keys that belong to another page", ""},
		"keys below the first branch": {7, nil, with(leaf(4, "a", "c")), "", ""},
		"two levels of branches":      {8, nil, deep(leaf(6, "b", "l"), leaf(7, "m", "z")), "", ""},
		"a key below its branch":      {8, nil, deep(leaf(6, "b", "l"), leaf(7, "l", "z")), "page 7 has keys that belong to another page", ""},
		"a key at the next branch":    {8, nil, deep(leaf(6, "b", "m"), leaf(7, "m", "z")), "page 6 has keys that belong to another page", ""},
		"an empty page":               {7, nil, with(leaf(5)), "", ""},
		"a leaf among branches":       {7, nil, append(slices.Clone(with(pageOf(4, branchPage, 0, onPage{key: "b", leads: 6})))[:3], leaf(5, "d", "e"), leaf(6, "f", "z")), "", "page 5 is a leaf among branches"},
		"a long page":                 {6, nil, [][]byte{free(), pageOf(3, branchPage, 0, onPage{key: "b", leads: 4}), longLeaf}, "", ""},
		"a long page out of the file": {5, nil, [][]byte{free(), pageOf(3, branchPage, 0, onPage{key: "b", leads: 4}), longLeaf}, "page 4 is longer than the file", "page 4 is longer than the file"},
		"a long page over another":    {7, nil, [][]byte{free(6), pageOf(3, branchPage, 0, onPage{key: "b", leads: 4}, onPage{key: "d", leads: 5}), longLeaf[:4096], leaf(5, "d")}, "page 5", ""},
	} {
		path := fileOf(t, c.pages, c.change, c.all...)
		for what, one := range map[string]struct {
			err  error
			want string
		}{"pages": {checkPages(t.Context(), path, 7), c.bad}, "tree": {checkTree(path), c.tree}} {
			if name == "a ring" && what == "pages" { // told somehow: where depends on the order
				one.want = "page"
			}
			if name == "a leaf among branches" && what == "pages" {
				one.want = "page"
			}
			if (one.err == nil) != (one.want == "") || one.err != nil && !strings.Contains(one.err.Error(), one.want) {
				t.Errorf("%s: of its %s: %v, want %q", name, what, one.err, one.want)
			}
		}
	}
	if err := checkPages(t.Context(), fileOf(t, 7, nil, whole...), 6); err != nil {
		t.Errorf("of the transaction before: %v", err)
	}
	if err := checkPages(t.Context(), fileOf(t, 7, nil, whole...), 8); err != errMovedOn {
		t.Errorf("of one that is not there: %v", err)
	}
}

// TestWholePages: a page is read as long as it says, and as its own number.
func TestWholePages(t *testing.T) {
	const size = 512
	file := make([]byte, 4*size)
	copy(file[size:], pageOf(1, leafPage, 2))
	meta := metaPage{pageSize: size, pages: 4}
	for name, c := range map[string]struct {
		id, long uint64 // long is how much of it is read before
		pages    uint64
		whole    int
		bad      string
	}{
		"three":              {1, 1, 4, 3 * size, ""},
		"read before":        {1, 3, 4, 3 * size, ""},
		"out of the file":    {1, 1, 3, 0, "is longer than the file"},
		"out of what is cut": {1, 1, 9, 3 * size, ""},
		"another":            {2, 1, 4, 0, "has the number of another page"},
	} {
		meta.pages = c.pages
		page, bad := wholePage(bytes.NewReader(file), file[size:size+c.long*size], c.id, meta)
		if len(page) != c.whole || bad != c.bad || c.whole > 0 && !bytes.Equal(page, file[size:]) {
			t.Errorf("%s: %d bytes, %q", name, len(page), bad)
		}
	}
	if _, bad := wholePage(bytes.NewReader(file[:len(file)-1]), file[size:2*size], 1, metaPage{pageSize: size, pages: 4}); !strings.Contains(bad, "cannot be read") {
		t.Errorf("a file that is cut short: %q", bad)
	}
}

// TestLargeTreesAreLeftToVerify: opening looks through the tree of a file of up to treePages.
func TestLargeTreesAreLeftToVerify(t *testing.T) {
	for pages, want := range map[uint64]bool{treePages: true, treePages + 1: false} {
		path := filepath.Join(t.TempDir(), "file")
		if err := os.WriteFile(path, metaWritten(4096, pages, 7, func(b []byte) { order.PutUint64(b[16:], 1) }), 0o600); err != nil {
			t.Fatal(err)
		}
		if err := checkTree(path); (err != nil) != want {
			t.Errorf("of %d pages: %v", pages, err)
		}
	}
}
