package book

import (
	"fmt"
	"strings"
	"testing"

	"headcut/viewer/fieldtest/phone"
)

// closedBook levels two places of the bed and closes on the gate post, 2 mm out, and sights
// back on it: the line of sight is then 100 + 1.500, from the level the post is known to have.
func closedBook(p *phone.Phone) {
	newBook(p)
	staffOn(p, "Gate post, mark")
	bookReading(p, "1.842")
	staffOn(p, "Main gully, bed")
	key(p, "1.655")
	enter(p)
	bookReading(p, "0")
	key(p, "1.31")
	enter(p)
	bookReading(p, "10")
	p.Tap("Foresight")
	bookReading(p, "1.844")
	p.Tap("This is Gate post, 100.000")
	p.WaitFor(`document.querySelector(".standing").dataset.standing === "closed"`)
	bookReading(p, "1.5")
	p.WaitText("sight 101.500")
}

// Pegging on from a closed run takes nothing from what it levelled; the dam pegged keeps
// the level of its toe and of the crest it is pegged for.
func TestPeggingOnKeepsTheRunProven(t *testing.T) {
	t.Parallel()
	p := enrolled(t, land(t), phone.Size(390, 844))
	closedBook(p)
	p.Tap("Peg out")
	p.Tap("Check dams, toe by toe")
	key(p, "1.3")
	p.WaitText("Level here 100.200")
	enter(p)
	p.WaitSaid("Dam 1 pegged, toe at 100.200")
	rows := waitSent(t, p, 5, false)
	dam := fieldsAtOffice(p, rows[4].Feature)
	if dam["toeLevelM"] != 100.2 || dam["targetCrestLevelM"] != 100.6 || dam["levelRun"] == nil || dam["crestHeightM"] != nil {
		t.Errorf("the dam at the office is %v, want the level of its toe, of the crest it is pegged for, the run, and no height that nobody measured", dam)
	}
	book := fmt.Sprint(dam["levelRun"])
	p.Go("#/level/" + book)
	p.WaitFor(`document.querySelector(".standing")?.dataset.standing === "on"`)
	if got := text(p, ".standing"); got != "Closed to Gate post; not closed since" {
		t.Errorf("the run stands as %q, want it closed to the gate post", got)
	}
	p.Tap("Page (5)")
	p.WaitText("Closed as far as Gate post: out by 2.0 mm")
	p.Screenshot("pegged-on-page")
	p.Tap("Section")
	p.WaitFor(`document.querySelector(".section svg .bed") !== null`)
	if dashed := phone.Eval[bool](p.Page, `document.querySelector(".section svg .bed").hasAttribute("stroke-dasharray")`); dashed {
		t.Error("the bed of the closed part is drawn as not proven once a dam is pegged")
	}
	p.Go("#/thing/" + rows[4].Feature)
	p.WaitHeading("Dam 1")
	p.WaitText("Toe level")
	p.WaitText("Its toe is levelled, at 100.20 m, by readings of Run 1 after it closed on Gate post, which are not checked yet: end the run on a point of known level again.")
	p.WaitText("Crest to be built to")
	p.Screenshot("pegged-dam")
}

// The level often stands where the run ended: its last foresight is then the backsight of
// the pegging too, and the officer need not read it again.
func TestPeggingWhereTheLevelStands(t *testing.T) {
	t.Parallel()
	p := enrolled(t, land(t), phone.Size(320, 640))
	newBook(p)
	staffOn(p, "Gate post, mark")
	bookReading(p, "1.842")
	p.Tap("Foresight")
	bookReading(p, "1.844")
	p.Tap("This is Gate post, 100.000")
	p.WaitFor(`document.querySelector(".standing").dataset.standing === "closed"`)
	p.Tap("Peg out")
	p.Tap("Check dams, toe by toe")
	p.WaitText("so the next must be a backsight")
	p.CheckFit("pegging after the run ended")
	p.Tap("The level has not moved: 1.844 on Gate post is its backsight too")
	key(p, "1.3")
	p.WaitText("Level here 100.544")
	enter(p)
	p.WaitSaid("Dam 1 pegged")
	rows := waitSent(t, p, 3, false)
	if *rows[1].BS != 1.844 || rows[1].Remark != "level not moved" {
		t.Errorf("the office has %+v, want the foresight as the backsight too, and why", rows[1])
	}
}

// A run that ends on a benchmark out by more than is allowed proves nothing; a backsight on
// the benchmark takes its known level and not what the run made of it.
func TestBacksightOnABenchmarkTakesItsLevel(t *testing.T) {
	t.Parallel()
	p := enrolled(t, land(t))
	newBook(p)
	staffOn(p, "Gate post, mark")
	bookReading(p, "1.842")
	p.Tap("Foresight")
	bookReading(p, "1.9") // 58 mm out
	p.Tap("This is Gate post, 100.000")
	bookReading(p, "1.5")
	p.WaitText("sight 101.500")
	if got := text(p, ".standing"); !strings.HasPrefix(got, "Does not close") {
		t.Errorf("the run stands as %q, want it not closed", got)
	}
}

// A run that began on no item is closed where it began: the point is chosen before its foresight.
func TestRunIsClosedWhereItBegan(t *testing.T) {
	t.Parallel()
	p := enrolled(t, nil, phone.Size(320, 640))
	setUp(p)
	bookReading(p, "1.2")
	p.Tap("Foresight")
	p.Tap("Staff on nothing marked")
	p.CheckFit("where the run may close")
	p.Screenshot("close-on-start")
	p.Tap("Start, known level 100.000")
	p.WaitText("Staff on Start")
	bookReading(p, "1.840")
	p.WaitFor(`document.querySelector(".standing").dataset.standing === "closed"`)
	p.WaitText("Closed: out by 2.0 mm")
}

// A number that the page proposes is replaced by the first key, on its own pad and on a
// keyboard, and never added to: 20 became 2020.
func TestFirstKeyReplacesAProposedNumber(t *testing.T) {
	t.Parallel()
	p := enrolled(t, land(t))
	setUp(p)
	staffOn(p, "Main gully, bed")
	for _, r := range []struct{ read, up string }{{"1.655", "0"}, {"1.31", "10"}} {
		key(p, r.read)
		enter(p)
		bookReading(p, r.up)
	}
	up := func() string {
		return phone.Eval[string](p.Page, `[...document.querySelectorAll(".numberbox")].find(e => e.innerText.includes("Chainage")).querySelector("input").value`)
	}
	if got := up(); got != "20" {
		t.Fatalf("after 0 and 10 the page proposes %q, want 20", got)
	}
	key(p, "0.9")
	p.TapSelector(".boxes .numberbox:last-child input")
	key(p, "25")
	if got := up(); got != "25" {
		t.Errorf("25 keyed over the proposed 20 gives %q, want 25", got)
	}
	p.TapSelector(".pad .rub")
	key(p, "6")
	if got := up(); got != "26" {
		t.Errorf("a figure keyed after it gives %q, want 26: what was keyed is written on", got)
	}
	enter(p)
	p.WaitText("Page (4)")
	p.TapSelector(".boxes .numberbox:last-child input")
	press(p, "4")
	press(p, "0")
	if got := up(); got != "40" {
		t.Errorf("40 on a keyboard over the proposed number gives %q, want 40", got)
	}
	p.Go("#/peg/contour/" + openBook(p))
	p.WaitHeading("Contour pegs")
	chooseLine(p, "Top line")
	p.TapSelector(".boxes .numberbox:last-child input")
	key(p, "5")
	if got := phone.Eval[string](p.Page, `document.querySelector(".boxes .numberbox:last-child input").value`); got != "5" {
		t.Errorf("5 keyed over the proposed first chainage gives %q, want 5", got)
	}
}

// A chainage that jumps absurdly is asked about, and taken when it is right.
func TestAbsurdChainageIsQuestioned(t *testing.T) {
	t.Parallel()
	p := enrolled(t, land(t), phone.Size(320, 640))
	setUp(p)
	staffOn(p, "Main gully, bed")
	for _, r := range []struct{ read, up string }{{"1.655", "20"}, {"1.31", "40"}, {"1.2", "4500"}} {
		key(p, r.read)
		p.TapSelector(".boxes .numberbox:last-child input")
		key(p, r.up)
		enter(p)
	}
	p.WaitText("The last was 40 m. 4500 m is 4460 m farther: is it right?")
	p.CheckFit("questioned")
	p.Screenshot("questioned-320")
	if !p.Has("Page (3)") {
		t.Error("the row with the absurd chainage is booked before the answer")
	}
	key(p, "60") // no: a point was missed
	p.WaitGone("is it right?")
	enter(p)
	key(p, "1.1")
	p.TapSelector(".boxes .numberbox:last-child input")
	key(p, "4500")
	enter(p)
	p.Tap("It is 4500 m: book it")
	p.Tap("Page (5)")
	p.WaitText("at 60 m")
	p.WaitText("at 4500 m")
}

// The rows booked last are seen while the next is keyed, with what is keyed, above the pad.
func TestLastRowsAreInSight(t *testing.T) {
	t.Parallel()
	for _, size := range [][2]int64{{390, 844}, {320, 640}} {
		t.Run(fmt.Sprint(size[0]), func(t *testing.T) {
			p := enrolled(t, land(t), phone.Size(size[0], size[1]))
			setUp(p)
			bookReading(p, "1.655")
			bookReading(p, "1.25")
			key(p, "1.43")
			p.WaitText("fall")
			for _, what := range []string{".lastrows li:first-child", ".lastrows li:last-child", ".padbar .level", ".numberbox.large input"} {
				wantSeen(t, p, what)
			}
			if got := text(p, ".lastrows"); !strings.Contains(got, "1 IS 1.655 100.187") || !strings.Contains(got, "2 IS 1.250 100.592") {
				t.Errorf("the last rows show %q, want both with their levels", got)
			}
			p.Screenshot(fmt.Sprintf("last-rows-%d", size[0]))
		})
	}
}

// wantSeen fails unless the whole of an element is on the screen and nothing lies over it.
func wantSeen(t *testing.T, p *phone.Phone, selector string) {
	t.Helper()
	if why := phone.Eval[string](p.Page, fmt.Sprintf(`(() => {
		const e = document.querySelector(%q);
		if (!e) return "is not there";
		const r = e.getBoundingClientRect(), bottom = (window.visualViewport?.height ?? innerHeight);
		if (r.top < 0 || r.bottom > bottom + .5) return "runs from " + r.top + " to " + r.bottom + " of " + bottom + " px";
		for (const y of [r.top + 2, r.top + r.height / 2, r.bottom - 2]) {
			const hit = document.elementFromPoint(r.left + Math.min(r.width / 2, 40), y);
			if (!hit || !(e.contains(hit) || hit.contains(e))) return "has " + (hit?.outerHTML ?? "nothing").slice(0, 80) + " over it at " + y;
		}
		return "";
	})()`, selector)); why != "" {
		t.Errorf("%s %s", selector, why)
	}
}

// wantKeyed checks that every box with its label, what they give, and the key that saves
// stand wholly in sight, under nothing else.
func wantKeyed(t *testing.T, p *phone.Phone, when string) {
	t.Helper()
	if why := phone.Eval[string](p.Page, `(() => {
		const strip = document.querySelector(".strip").getBoundingClientRect().top, head = document.querySelector(".head").getBoundingClientRect().bottom;
		const parts = [...document.querySelectorAll(".padbar .numberbox label, .padbar .numberbox input, .padbar .numberbox .note, .padbar .wanted, .padbar .go, .padbar .saves, .padbar .question, .pad .key")].filter(e => e.offsetParent !== null);
		for (const e of parts) {
			const r = e.getBoundingClientRect(), name = e.className + " " + e.innerText.slice(0, 30);
			if (r.top < head - .5 || r.bottom > strip + .5) return name + " runs from " + r.top + " to " + r.bottom + ", in sight are " + head + " to " + strip;
			if (e.scrollWidth > e.clientWidth + 1 && e.clientWidth > 0 && e.tagName !== "LABEL") return name + " is cut: " + e.scrollWidth + " px in " + e.clientWidth;
			for (const [x, y] of [[r.left + 3, r.top + 3], [r.right - 3, r.bottom - 3]]) {
				const met = document.elementFromPoint(x, y);
				if (!met || !(e.contains(met) || met.contains(e))) return name + " has " + (met?.outerHTML ?? "nothing").slice(0, 60) + " over it";
			}
		}
		return parts.length > 12 ? "" : "there are only " + parts.length + " parts";
	})()`); why != "" {
		t.Errorf("%s: %s", when, why)
	}
}

// What is keyed on the page's own pad stays in sight above it, with its label and what it
// gives and saves: on every screen with a pad and in each of its states, as the screen
// opens, with a notice in the strip, and in every box as it is keyed, however little was
// keyed. An earlier one looked only at the boxes that a screen opens with, only after two
// keys had made the page scroll, and not at labels: what was hidden before, it never met.
func TestPadNeverCoversWhatIsKeyed(t *testing.T) {
	t.Parallel()
	for _, size := range [][2]int64{{390, 844}, {320, 640}} {
		t.Run(fmt.Sprint(size[0]), func(t *testing.T) {
			p := enrolled(t, land(t,
				"track-near", map[string]any{"kind": "track", "name": "House track", "geometry": line([2]float64{146.5, -20.25}, [2]float64{146.503, -20.25})}), phone.Size(size[0], size[1]))
			closedBook(p)
			book := openBook(p)
			boxes := func(when string) {
				t.Helper()
				p.WaitFor(`document.querySelectorAll(".pad .key").length > 10 && document.querySelector(".numberbox") !== null`)
				wantKeyed(t, p, when+", as it opens")
				many := func() int { return phone.Eval[int](p.Page, `document.querySelectorAll(".numberbox input").length`) }
				for i := 0; i < many(); i++ { // a box that is empty may go once another is keyed
					box := fmt.Sprintf(`document.querySelectorAll(".numberbox input")[%d]`, i)
					phone.Eval[bool](p.Page, `(`+box+`.focus({preventScroll: true}), true)`)
					p.WaitFor(box + `.closest(".numberbox").classList.contains("active")`)
					wantKeyed(t, p, fmt.Sprintf("%s, box %d", when, i))
					for _, k := range "1.2" {
						key(p, string(k))
					}
					wantKeyed(t, p, fmt.Sprintf("%s, box %d keyed", when, i))
				}
				p.Screenshot(fmt.Sprintf("pad-%s-%d", strings.ReplaceAll(when, " ", "-"), size[0]))
				for i := many() - 1; i >= 0; i-- {
					phone.Eval[bool](p.Page, fmt.Sprintf(`(document.querySelectorAll(".numberbox input")[%d].focus({preventScroll: true}), true)`, i))
					clear(p)
				}
				phone.Eval[bool](p.Page, `(document.querySelectorAll(".numberbox input")[0].focus({preventScroll: true}), true)`)
				p.WaitFor(`document.querySelector(".numberbox").classList.contains("active")`)
			}
			opens := func(route string) {
				p.Go("#/")
				p.WaitHeading(property)
				p.Go(route)
			}
			opens("#/level/" + book)
			boxes("book")
			p.Tap(text(p, "button.stand"))
			p.WaitFor(`document.querySelector(".stands .list li") !== null && document.querySelector(".pad").offsetParent === null`) // the list has the screen
			p.CheckFit("staff on")
			p.Screenshot(fmt.Sprintf("pad-staff-on-%d", size[0]))
			p.Tap("Main gully, bed")
			boxes("bed")
			p.Tap("Page (4)")
			p.TapSelector(".bookrows > li:nth-child(2) .bookrow")
			p.Tap("Strike out and write again")
			p.WaitText("is struck out when you book this")
			boxes("row written again")
			p.Tap("Keep the old row")
			opens("#/peg/dams/" + book)
			boxes("first dam")
			p.At(here)
			p.WaitText("in Main gully (nearest") // with a position the dam stands in the gully, and the next one asks about its chainage 0
			key(p, "1.3")
			enter(p)
			p.WaitSaid("Dam 1 pegged") // the notice is in the strip
			p.WaitText("Staff 0.900")
			p.WaitText("Which end of Main gully's line is chainage 0?")
			boxes("next dam")
			key(p, "0.4")
			enter(p)
			p.WaitText("0.50 m too high for Dam 1's crest")
			wantKeyed(t, p, "a dam off its level")
			p.Screenshot(fmt.Sprintf("pad-question-%d", size[0]))
			clear(p)
			pick(p)
			p.Tap("Type its level")
			boxes("dam from a level typed")
			opens("#/peg/contour/" + book)
			boxes("contour")
			key(p, "1.3")
			opens("#/peg/whoa-boys/" + book)
			boxes("top of the slope")
			key(p, "0.5")
			enter(p)
			p.WaitSaid("Top of the slope booked")
			boxes("whoa-boys")
		})
	}
}

// The keyboard that a phone puts over the page covers nothing that is typed, on any screen
// with a text box. Chromium without a screen has no such keyboard: what the page hears of
// one, the visual viewport's height, is set here.
func TestKeyboardNeverCoversWhatIsTyped(t *testing.T) {
	t.Parallel()
	for _, size := range [][3]int64{{390, 844, 320}, {320, 640, 250}} {
		t.Run(fmt.Sprint(size[0]), func(t *testing.T) {
			p := enrolled(t, land(t), phone.Size(size[0], size[1]))
			setUp(p)
			book := openBook(p)
			p.At(here)
			keyboard := func(px int64) {
				phone.Eval[bool](p.Page, fmt.Sprintf(`(Object.defineProperty(visualViewport, "height", {configurable: true, get: () => innerHeight - %d}), visualViewport.dispatchEvent(new Event("resize")), true)`, px))
			}
			for _, route := range []string{"#/level/" + book, "#/peg/local-table", "#/thing/" + benchmark + "/edit", "#/thing/" + ripLine + "/edit"} {
				t.Log(route)
				p.Go("#/")
				p.WaitHeading(property) // the screen before this one is gone, with its boxes
				p.Go(route)
				if strings.Contains(route, "/level/") {
					p.Tap("Page (1)")
				}
				p.WaitFor(`[...document.querySelectorAll("main input:not(.figures):not([type=radio]):not([type=checkbox]):not([type=file]), main textarea")].length > 0`)
				phone.Eval[bool](p.Page, `(document.querySelectorAll("details").forEach(e => e.open = true), true)`)
				n := phone.Eval[int](p.Page, `document.querySelectorAll("main input:not(.figures):not([type=radio]):not([type=checkbox]):not([type=file]), main textarea").length`)
				for i := range n {
					phone.Eval[bool](p.Page, fmt.Sprintf(`(document.querySelectorAll("[data-looked]").forEach(e => delete e.dataset.looked),
						(e => (e.dataset.looked = "yes", e.focus()))(document.querySelectorAll("main input:not(.figures):not([type=radio]):not([type=checkbox]):not([type=file]), main textarea")[%d]), true)`, i))
					keyboard(size[2])
					phone.Eval[bool](p.Page, `new Promise(done => requestAnimationFrame(() => requestAnimationFrame(() => done(true))))`)
					wantSeen(t, p, "[data-looked]")
					if i == 0 {
						p.Screenshot(fmt.Sprintf("keyboard-%s-%d", strings.NewReplacer("#/", "", "/", "-").Replace(route)[:12], size[0]))
					}
					if i%2 == 1 {
						keyboard(0)
					}
				}
				keyboard(0)
			}
		})
	}
}

// A run that closed and was left is in the list as one that is done, also when the list comes
// before the last row is saved.
func TestEndedRunIsNotListedAsOpen(t *testing.T) {
	t.Parallel()
	p := enrolled(t, land(t), phone.Size(390, 844))
	newBook(p)
	p.WaitText("Backsight on Start")
	staffOn(p, "Gate post, mark")
	bookReading(p, "1.842")
	p.Tap("Foresight")
	bookReading(p, "1.844")
	p.WaitText("This is Gate post, 100.000")
	tapped := phone.Eval[bool](p.Page, `new Promise((done) => {
		const tap = (words) => { const b = [...document.querySelectorAll("button")].find((b) => b.innerText.includes(words)); b?.click(); return !!b; };
		tap("This is Gate post, 100.000");
		const end = () => document.querySelector(".standing")?.dataset.standing === "closed" ? done(tap("End here")) : requestAnimationFrame(end);
		end();
	})`)
	if !tapped {
		t.Fatal("there is no End here on a run that closed")
	}
	p.WaitHeading("Level")
	p.WaitFor(`document.querySelectorAll(".books li").length === 1`)
	if listed := phone.Eval[string](p.Page, `document.querySelector(".books").innerText`); strings.Contains(listed, "open") || strings.Contains(listed, "Continue the book") {
		t.Errorf("the run that closed and was left is listed as %q", listed)
	}
}

// A run that begins on another benchmark is a book of its own, begun with one tap where the
// run before ended; the list of books says which are not sent yet, and no book names a
// benchmark that nobody saw.
func TestAnotherBenchmarkBeginsAnotherBook(t *testing.T) {
	t.Parallel()
	p := enrolled(t, land(t), phone.Size(320, 640))
	newBook(p)
	p.WaitText("Backsight on Start")
	staffOn(p, "Gate post, mark")
	bookReading(p, "1.842")
	p.Tap("Foresight")
	bookReading(p, "1.844")
	p.Tap("This is Gate post, 100.000")
	p.WaitFor(`document.querySelector(".standing").dataset.standing === "closed"`)
	first := phone.Eval[string](p.Page, "location.hash")
	p.CheckFit("a run that ended")
	p.Screenshot("ended-smallest")
	p.Offline(true)
	p.Tap("Begin a new book on another benchmark")
	p.WaitText("First a backsight")
	if now := phone.Eval[string](p.Page, "location.hash"); now == first {
		t.Fatal("the second benchmark would be booked in the first book")
	}
	bookReading(p, "1.2")
	bookReading(p, "50")
	p.Tap("Foresight")
	bookReading(p, "1.3")
	p.WaitSaid("Run 2 saved")
	key(p, "1") // a backsight half keyed is work that was begun
	p.Go("#/")
	p.WaitText("You were keying row 2 of the level book Run 2")
	p.Tap("Continue")
	p.WaitFor(`document.querySelector(".numberbox.large input")?.value === "1"`)
	p.TapSelector(".pad .rub")
	p.Tap("End here")
	p.WaitHeading("Level")
	listed := `[...document.querySelectorAll(".books li")].map(e => e.innerText.replace(/\s+/g, " ").trim())`
	p.WaitFor(listed + `.length === 2`)
	p.WaitFor(`!` + listed + `[1].includes("not sent yet")`) // the page reads again a moment after what came in
	books := phone.Eval[[]string](p.Page, listed)
	if !strings.HasPrefix(books[0], "Run 2") || !strings.Contains(books[0], "not sent yet") || !strings.HasPrefix(books[1], "Run 1") || strings.Contains(books[1], "not sent yet") {
		t.Errorf("the books are listed %q, want run 2 as not sent yet and run 1 as sent", books)
	}
	p.CheckFit("list of books")
	p.Screenshot("books-smallest")
	p.Offline(false)
	p.WaitFor(`!document.querySelector(".books").innerText.includes("not sent yet")`)
}
