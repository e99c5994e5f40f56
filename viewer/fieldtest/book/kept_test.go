package book

import (
	"testing"

	"headcut/viewer/fieldtest/phone"
)

// The page never says that all keys are kept while it shows one that is not: whenever a new
// figure comes on the screen, the word for it is taken back in the same drawing.
func TestKeptIsNeverSaidTooEarly(t *testing.T) {
	t.Parallel()
	p := enrolled(t, nil)
	setUp(p)
	clear(p)
	kept(p)
	type moment struct {
		Value string
		Kept  string
	}
	phone.Eval[bool](p.Page, `(() => {
		globalThis.moments = [];
		let last = document.querySelector(".numberbox.large input").value;
		const look = () => {
			const value = document.querySelector(".numberbox.large input")?.value;
			if (value === undefined || value === last) return;
			last = value;
			moments.push({Value: value, Kept: document.querySelector(".standing").dataset.kept});
		};
		(function frame() { look(); requestAnimationFrame(frame); })(); // after every drawing's effects
		new MutationObserver(look).observe(document.body, {subtree: true, childList: true, attributes: true, characterData: true});
		return true;
	})()`)
	for i, digit := range []string{"1", ".", "2", "3", "4"} {
		key(p, digit)
		kept(p)
		moments := phone.Eval[[]moment](p.Page, `moments`)
		if len(moments) != i+1 {
			t.Fatalf("after %d keys the figure changed %d times: %+v", i+1, len(moments), moments)
		}
		if moments[i].Kept != "false" {
			t.Errorf("%q was on the screen and said to be kept at once", moments[i].Value)
		}
	}
}
