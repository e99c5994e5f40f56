package boltstore

import (
	"io"
	"os"
)

// checkTree reads the pages above the leaves, a hundredth of the file or less, and refuses
// a tree that leads to a page twice or out of the file. bbolt follows the tree by
// recursion: a ring would fill the stack, and that nothing can recover from.
//
// Trees of bbolt are of even depth, so that the leaves are known without being read.
func checkTree(path string) error {
	f, err := os.Open(path)
	if err != nil {
		return err
	}
	defer f.Close()
	meta, err := readMeta(f)
	if err != nil {
		return err
	}
	t := treeWalk{file: f, meta: meta, seen: make(map[uint64]bool)}
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
	file io.ReaderAt
	meta metaPage
	seen map[uint64]bool
}

// level goes down from a root level by level until the first page of one is a leaf, and
// returns what that leaf leads to: the roots of buckets, when it is the root of them all.
func (t *treeWalk) level(root uint64) (roots []uint64, err error) {
	for pages := []uint64{root}; ; {
		var below []uint64
		for i, id := range pages {
			if id < 2 || id >= t.meta.pages || t.seen[id] {
				return nil, damaged("the tree leads to page %d twice, or out of the file", id)
			}
			t.seen[id] = true
			if roots != nil && i > 0 {
				continue // a leaf beside a leaf
			}
			n, err := t.read(id)
			if err != nil {
				return nil, err
			}
			for _, c := range n.children {
				below = append(below, c.page)
			}
			if n.flags == leafPage {
				if i > 0 {
					return nil, damaged("page %d is a leaf among branches", id)
				}
				roots = append([]uint64{}, below...)
			}
		}
		if roots != nil {
			return roots, nil
		}
		pages = below
	}
}

func (t *treeWalk) read(id uint64) (pageNote, error) {
	run := make([]byte, t.meta.pageSize)
	if _, err := t.file.ReadAt(run, int64(id)*int64(len(run))); err != nil {
		return pageNote{}, damaged("page %d cannot be read: %v", id, err)
	}
	n := pageNote{flags: order.Uint16(run[8:])}
	if n.flags != branchPage && n.flags != leafPage {
		return n, damaged("page %d is of no sort that stands in the tree", id)
	}
	page, bad := wholePage(t.file, run, id, t.meta)
	if bad == "" {
		bad = n.readElements(page)
	}
	if bad != "" {
		return n, damaged("page %d %s", id, bad)
	}
	return n, nil
}
