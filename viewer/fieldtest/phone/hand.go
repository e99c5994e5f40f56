package phone

import (
	"context"
	"errors"
	"fmt"
	"os"
	"slices"
	"strings"
	"time"

	"github.com/chromedp/cdproto/accessibility"
	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/dom"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
)

// Open goes to a path of the phone's office, "/field/#/map".
func (p *Page) Open(path string) { p.t.Helper(); p.OpenAt(p.phone.Office.URL + path) }

// OpenAt goes to a whole address.
func (p *Page) OpenAt(address string) {
	p.t.Helper()
	p.Do(chromedp.Navigate(address))
}

// Go changes the address behind the "#" as a link within the page does, and waits until the
// page has heard of it: what is looked for afterwards is not found on the screen before.
func (p *Page) Go(route string) {
	p.t.Helper()
	Eval[bool](p, `new Promise(done => {
		const before = location.href, heard = () => setTimeout(() => done(true));
		addEventListener("hashchange", heard, {once: true});
		location.hash = `+quoted(route)+`;
		if (location.href === before) heard();
	})`)
}

// Tap presses a control with a fingertip, once it is there, enabled, and nothing lies over
// it. It goes by the control's accessible name, as a person who reads or hears it.
func (p *Page) Tap(name string) {
	p.t.Helper()
	at := p.find(func() (spot, error) { return p.look(name, controls) })
	p.Do(chromedp.TapXY(at.X, at.Y))
}

// TapAt presses the screen at a place in CSS pixels from its top left.
func (p *Page) TapAt(x, y float64) { p.t.Helper(); p.Do(chromedp.TapXY(x, y)) }

// TapSelector presses the middle of the first element of a CSS selector, as Tap does.
func (p *Page) TapSelector(selector string) {
	p.t.Helper()
	at := p.find(func() (spot, error) { return p.lookFor(selector) })
	p.Do(chromedp.TapXY(at.X, at.Y))
}

// Type puts text into the field with this label, one key after the other, in place of
// what is in it.
func (p *Page) Type(label, text string) {
	p.t.Helper()
	at := p.find(func() (spot, error) { return p.look(label, fields) })
	p.Do(chromedp.TapXY(at.X, at.Y))
	p.WaitFor(`document.activeElement.matches("input, textarea")`)
	Eval[bool](p, `(document.activeElement.select(), true)`)
	p.Do(chromedp.KeyEvent(text))
}

// Choose picks an option of a list by the option's words.
func (p *Page) Choose(label, option string) {
	p.t.Helper()
	at := p.find(func() (spot, error) { return p.look(label, lists) })
	p.Do(chromedp.Func(func(ctx context.Context, target *chromedp.Target) error {
		r, err := callOn(ctx, target, at.object, `function(words) {
			const o = [...this.options].find(o => o.text.trim() === words);
			if (!o) return false;
			this.value = o.value;
			this.dispatchEvent(new Event("input", {bubbles: true}));
			this.dispatchEvent(new Event("change", {bubbles: true}));
			return true;
		}`, quoted(option))
		if err == nil && string(r.Value) != "true" {
			return fmt.Errorf("%q has no option %q", label, option)
		}
		return err
	}))
}

// Upload gives a file to a file input, as the phone's camera does: it is of now. Call it with
// the press that opens the browser's own window for choosing, which is kept from opening.
func (p *Page) Upload(press func(), selector, file string) {
	p.t.Helper()
	p.Do(Command(page.SetInterceptFileChooserDialog, page.SetInterceptFileChooserDialogParams{Enabled: true}))
	press()
	p.WaitFor("document.querySelector(" + quoted(selector) + ") !== null")
	now := time.Now()
	if err := os.Chtimes(file, now, now); err != nil {
		p.t.Fatal(err)
	}
	p.Do(chromedp.SetUploadFiles(chromedp.CSS(selector), []string{file}))
}

// Has tells whether a control of this name is on the screen now.
func (p *Page) Has(name string) bool {
	p.t.Helper()
	for deadline := time.Now().Add(Patience); ; {
		_, why := p.look(name, controls)
		if !errors.Is(why, errMoves) || time.Now().After(deadline) {
			return why == nil
		}
	}
}

// The roles of what can be pressed and of what can be written in.
var (
	lists    = []string{"combobox", "listbox", "MenuListPopup"}
	fields   = []string{"textbox", "searchbox", "spinbutton", "combobox", "Date", "DateTime", "InputTime"}
	controls = append([]string{"button", "link", "radio", "checkbox", "switch", "tab", "menuitem", "menuitemradio", "option",
		"DisclosureTriangle", "DisclosureTriangleGrouped", "slider", "img", "image", "application"}, fields...)
)

// errMoves is of a control that stands elsewhere than a frame ago.
var errMoves = errors.New("it moves")

// spot is the middle of a control on the screen.
type spot struct {
	X, Y    float64
	Trouble string
	object  runtime.RemoteObjectID
}

// find looks until there is something to press.
func (p *Page) find(look func() (spot, error)) spot {
	p.t.Helper()
	deadline := time.Now().Add(Patience)
	for {
		at, err := look()
		if err == nil {
			return at
		}
		if time.Now().After(deadline) {
			p.t.Fatalf("%v\n%s", err, p.Seen())
		}
		time.Sleep(30 * time.Millisecond)
	}
}

// lookFor finds the first element of a selector.
func (p *Page) lookFor(selector string) (spot, error) {
	return p.within(func(ctx context.Context, target *chromedp.Target) (spot, error) {
		found, err := cdp.Call(ctx, target, runtime.Evaluate, runtime.EvaluateParams{Expression: "document.querySelector(" + quoted(selector) + ")"})
		if err != nil {
			return spot{}, err
		}
		if found.Result.ObjectID == "" {
			return spot{}, fmt.Errorf("nothing is %q", selector)
		}
		return reached(ctx, target, selector, found.Result.ObjectID)
	})
}

func (p *Page) within(action func(context.Context, *chromedp.Target) (spot, error)) (spot, error) {
	ctx, stop := context.WithTimeout(p.Context(), Patience)
	defer stop()
	return chromedp.Run(ctx, action)
}

// look finds the one control of a name, scrolls it into sight, and makes sure that a
// finger there would meet it.
func (p *Page) look(name string, roles []string) (spot, error) {
	return p.within(func(ctx context.Context, target *chromedp.Target) (spot, error) {
		document, err := cdp.Call(ctx, target, runtime.Evaluate, runtime.EvaluateParams{Expression: "document"})
		if err != nil {
			return spot{}, err
		}
		var found []cdp.BackendNodeID
		for _, asked := range []string{name, name + " (if known)"} {
			answer, err := cdp.Call(ctx, target, accessibility.QueryAXTree, accessibility.QueryAXTreeParams{
				ObjectID: document.Result.ObjectID, AccessibleName: asked})
			if err != nil {
				return spot{}, err
			}
			for _, n := range answer.Nodes {
				role := ""
				if n.Role != nil {
					role = strings.Trim(string(n.Role.Value), `"`)
				}
				if !n.Ignored && slices.Contains(roles, role) && n.BackendDOMNodeID != 0 {
					found = append(found, n.BackendDOMNodeID)
				}
			}
		}
		if len(found) != 1 {
			return spot{}, fmt.Errorf("%d controls are called %q, want one", len(found), name)
		}
		node, err := cdp.Call(ctx, target, dom.ResolveNode, dom.ResolveNodeParams{BackendNodeID: found[0]})
		if err != nil {
			return spot{}, err
		}
		return reached(ctx, target, name, node.Object.ObjectID)
	})
}

// reached is where a finger meets an element.
func reached(ctx context.Context, target *chromedp.Target, name string, object runtime.RemoteObjectID) (spot, error) {
	r, err := callOn(ctx, target, object, reach)
	if err != nil {
		return spot{}, err
	}
	at, err := decoded[spot](r)
	if err != nil {
		return spot{}, err
	}
	switch at.Trouble {
	case "":
	case errMoves.Error():
		return spot{}, errMoves
	default:
		return spot{}, fmt.Errorf("%q cannot be pressed: %s", name, at.Trouble)
	}
	at.object = object
	return at, nil
}

// reach gives the middle of an element, or of its label where the element itself is hidden,
// once it stands where it stood a frame ago: a finger would miss what moves.
var reach = `async function() {
	const covers = e => { e.scrollIntoView({block: "nearest", behavior: "instant"});
		let r = e.getBoundingClientRect(), x = r.x + r.width / 2, y = r.y + r.height / 2, hit = document.elementFromPoint(x, y);
		if (!hit || !(e.contains(hit) || hit.contains(e) && hit.closest("label"))) {
			e.scrollIntoView({block: "center", behavior: "instant"});
			r = e.getBoundingClientRect(); x = r.x + r.width / 2; y = r.y + r.height / 2; hit = document.elementFromPoint(x, y);
		}
		const met = hit && (e.contains(hit) || hit.contains(e) && hit.closest("label"));
		return {X: x, Y: y, Trouble: r.width === 0 ? "it has no size" : met ? "" : "there is " + (hit ? hit.outerHTML.slice(0, 120) : "nothing") + " at its place"}; };
	if (this.disabled) return {X: 0, Y: 0, Trouble: "it is disabled"};
	const now = () => { const own = covers(this), label = this.labels && this.labels[0]; return own.Trouble && label ? covers(label) : own; };
	const first = now();
	if (first.Trouble) return first;
	await new Promise(next => { requestAnimationFrame(() => setTimeout(next)); setTimeout(next, 200); }); // a tab behind another has no frames
	const then = now();
	return then.Trouble || then.X === first.X && then.Y === first.Y ? then : {...then, Trouble: "` + errMoves.Error() + `"};
}`
