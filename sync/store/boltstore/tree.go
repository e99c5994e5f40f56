package boltstore

import "slices"

// treePages is 256 MiB in pages of 4 KiB, whose upper pages are read in some 20 ms.
const treePages = 64 << 10

// checkTree reads the pages above the leaves, a hundredth of the file or less, and refuses
// a tree that leads to a page twice or out of the file. bbolt follows the tree by
// recursion: a ring would fill the stack, and that nothing can recover from.
//
// It is done on opening for files of up to treePages; beyond, it would take longer than a
// start may, and only Verify finds a ring, without following it.
//
// Trees of bbolt are of even depth, so that the leaves are known without being read.
func checkTree(path string) error {
	f, err := openRegular(path)
	if err != nil {
		return err
	}
	defer f.Close()
	meta, err := readMeta(f)
	if err != nil {
		return err
	}
	if meta.pages > treePages {
		return nil
	}
	t := treeWalk{pages: pageReader{file: f, meta: meta}, seen: make([]bool, meta.pages)}
	roots, err := t.level(meta.root)
	if err != nil {
		return err
	}
	for _, root := range roots { // of the buckets
		if _, err := t.level(root); err != nil {
			return err
		}
	}
	return nil
}

type treeWalk struct {
	pages pageReader
	seen  []bool // by page
}

// level goes down from a root level by level until the first page of one is a leaf, and
// returns what that leaf leads to: the roots of buckets, when it is the root of them all.
func (t *treeWalk) level(root uint64) (roots []uint64, err error) {
	for pages := []uint64{root}; ; {
		for _, id := range pages {
			if id < 2 || id >= t.pages.meta.pages || t.seen[id] {
				return nil, damaged("the tree leads to page %d twice, or out of the file", id)
			}
			t.seen[id] = true
		}
		slices.Sort(pages) // to read as the file lies
		var below []uint64
		for i, id := range pages {
			n := t.pages.note(id)
			if n.bad != "" {
				return nil, damaged("page %d %s", id, n.bad)
			}
			if n.flags == leafPage && i > 0 {
				return nil, damaged("page %d is a leaf among branches", id)
			}
			for _, c := range n.children {
				below = append(below, c.page)
			}
			if n.flags == leafPage {
				return below, nil // all beside it are leaves too
			}
		}
		pages = below
	}
}
