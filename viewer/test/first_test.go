package pages

import (
	"image/color"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"

	"headcut/sync/register"
)

// What a landholder asks first is in sight when the page opens, with the map.
func TestAnswersStandFirst(t *testing.T) {
	all := append(property(t),
		feature(t, "look", fields{"kind": "visit", "of": "dam-4", "observedOn": "2026-10-01", "condition": "needs work"}),
	)
	for _, size := range []screen{{390, 844}, desktop} {
		p := open(t, newSite(t, landOf(t, "Stony Block", all...)), size)
		p.waitForMap()
		said := plainSpaces(eval[string](p, `document.querySelector(".summary").innerText`))
		for _, want := range []string{"10 works built 2026", "1 failed", "2 need attention", "Last inspected 1 October 2026. Of 11 works on the ground, 2 inspected and 9 never.", "Bluff: undercut bank, keep back", "What to watch for now", "found failed on 1 September 2026", "Dam 1: there is a gap of 0.2 m up to the next dam"} {
			wantIn(t, "the summary", said, want)
		}
		for _, selector := range []string{".done", ".inspected", ".dangers", ".watch .watchrow", ".map"} {
			if top := eval[float64](p, `document.querySelector("`+selector+`").getBoundingClientRect().top`); top > float64(size.height)-60 {
				t.Errorf("%v: %s begins %v px down, below the fold", size, selector, top)
			}
		}
		if text := eval[string](p, `document.body.innerText`); strings.Contains(text, "25 November 2026") || strings.Contains(text, "before digging") || strings.Contains(text, "Key each dam") {
			t.Error("the page tells of today, or how to build")
		}
		wantIn(t, "the title", plainSpaces(eval[string](p, `document.querySelector(".title").innerText`)), "Last entry 1 October 2026.")
		p.CheckAxe("the page as it opens")
		p.WantQuiet(nil)
	}
}

// A click on a triangle opens the hazard, even where a work lies around it.
func TestTriangleOpensTheHazard(t *testing.T) {
	all := []register.Folded{
		feature(t, "area", fields{"kind": "exclosure", "name": "Paddock", "status": "built", "geometry": ring(at(-80, -80), at(80, -80), at(80, 80), at(-80, 80))}),
		feature(t, "dam", fields{"kind": "check-dam", "name": "Dam", "status": "built", "geometry": point(at(3, 3))}),
		feature(t, "pit", fields{"kind": "hazard", "name": "Old well", "danger": "Open shaft: keep away.", "geometry": point(at(0, 0))}),
	}
	p := open(t, newSite(t, landOf(t, "Stony Block", all...)), desktop)
	p.waitForMap()
	n, box := coloured(p.picture(), p.mapRect(), kindColour(t, "hazard"))
	if n < 20 {
		t.Fatalf("the triangle has %d pixels of its colour: it is hidden", n)
	}
	x, y := middle(box)
	p.Do(chromedp.MouseClickXY(x, y))
	p.WaitFor(`document.querySelector("#chosen")?.textContent === "Old well"`)
	wantIn(t, "the panel", eval[string](p, `document.querySelector(".panel").innerText`), "Open shaft: keep away.")
	p.WantQuiet(nil)
}

// Works that failed, are proposed or need attention are drawn whatever stands beside them.
func TestStatusIsNotHiddenByANeighbour(t *testing.T) {
	place := at(0, 0)
	var all []register.Folded
	for i, id := range []string{"a", "b", "c", "d", "e", "f"} {
		all = append(all, feature(t, id, fields{"kind": "check-dam", "name": "Dam " + id, "status": "built", "geometry": point(at(float64(i)*0.2, 0))}))
	}
	all = append(all,
		feature(t, "far", fields{"kind": "check-dam", "name": "Far", "status": "built", "geometry": point(at(900, 700))}),
		feature(t, "z-failed", fields{"kind": "windrow", "name": "Fallen row", "status": "failed", "geometry": point(place)}),
	)
	p := open(t, newSite(t, landOf(t, "Stony Block", all...)), phone)
	p.waitForMap()
	if n, _ := coloured(p.picture(), p.mapRect(), color.RGBA{0x1c, 0x1b, 0x17, 255}); n < 60 {
		t.Errorf("the cross of the failed work has %d pixels among six built ones: it is hidden", n)
	}
	p.WantQuiet(nil)
}

// Care is for what is finished: a work that is only proposed has none.
func TestCareIsForFinishedWorks(t *testing.T) {
	p := open(t, newSite(t, landOf(t, "Stony Block", property(t)...)), desktop)
	p.waitForMap()
	p.choose("dam-5")
	if text := eval[string](p, `document.querySelector(".panel").innerText`); strings.Contains(text, "What to look after") {
		t.Errorf("a proposed dam is to be looked after: %s", text)
	}
	p.choose("dam-2")
	wantIn(t, "the panel of a built dam", eval[string](p, `document.querySelector(".panel").innerText`), "What to look after")
	p.WantQuiet(nil)
}

// Photos of a photo point: the first and the newest side by side.
func TestFirstAndNewestPhotoStandSideBySide(t *testing.T) {
	sha := func(c string) string { return strings.Repeat(c, 64) }
	site := newSite(t, landOf(t, "Stony Block",
		feature(t, "point", fields{"kind": "photo-point", "name": "From the hub peg", "observedOn": "2024-11-25", "photos": []string{sha("a")}, "geometry": point(at(0, 0))}),
		feature(t, "look-1", fields{"kind": "visit", "of": "point", "observedOn": "2025-05-14", "photos": []string{sha("b")}}),
		feature(t, "look-2", fields{"kind": "visit", "of": "point", "observedOn": "2026-05-12", "photos": []string{sha("c")}}),
		feature(t, "dam", fields{"kind": "check-dam", "name": "Dam", "status": "built", "geometry": point(at(30, 0))}),
	))
	for _, c := range []string{"a", "b", "c"} {
		site.photos[sha(c)] = grey(t)
	}
	for _, size := range []screen{{390, 844}, {320, 640}, desktop} {
		p := open(t, site, size)
		p.waitForMap()
		eval[bool](p, `(document.querySelector(".photoset").scrollIntoView(), true)`)
		p.WaitFor(`[...document.querySelectorAll(".photoset > .photos > .pair img")].every(i => i.naturalWidth > 0)`)
		got := eval[[]string](p, `[...document.querySelectorAll(".photoset > .photos > .pair figcaption")].map(c => c.textContent)`)
		if len(got) != 2 || plainSpaces(got[0]) != "First: 25 November 2024" || plainSpaces(got[1]) != "Newest: 12 May 2026" {
			t.Errorf("%v: the pair is %q", size, got)
		}
		tops := eval[[]float64](p, `[...document.querySelectorAll(".photoset > .photos > .pair img")].map(i => i.getBoundingClientRect().top)`)
		if len(tops) != 2 || tops[0] != tops[1] {
			t.Errorf("%v: the photos stand at %v, not side by side", size, tops)
		}
		p.CheckWidth("photos")
		p.WantQuiet(nil)
	}
}
