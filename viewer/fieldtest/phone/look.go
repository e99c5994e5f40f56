package phone

// Text is all that the page shows.
func (p *Page) Text() string { p.t.Helper(); return Eval[string](p, "document.body.innerText") }

// Heading is the screen's main heading.
func (p *Page) Heading() string {
	p.t.Helper()
	return Eval[string](p, `document.querySelector("h1")?.innerText ?? ""`)
}

// Said is what stands in the page's live regions, as a screen reader tells it.
func (p *Page) Said() string {
	p.t.Helper()
	return Eval[string](p, said)
}

const said = `[...document.querySelectorAll("[role=status], [role=alert], [aria-live]")].map(e => e.innerText.trim()).filter(Boolean).join("\n")`

// shown is all that the page shows, however it is broken into lines.
const shown = `document.body.innerText.replace(/\s+/g, " ")`

// WaitText waits until the page shows these words, on one line or on several.
func (p *Page) WaitText(words string) {
	p.t.Helper()
	p.WaitFor(shown + ".includes(" + quoted(words) + ")")
}

// WaitGone waits until the page shows these words no more.
func (p *Page) WaitGone(words string) {
	p.t.Helper()
	p.WaitFor("!" + shown + ".includes(" + quoted(words) + ")")
}

// WaitSaid waits until a live region holds these words.
func (p *Page) WaitSaid(words string) {
	p.t.Helper()
	p.WaitFor(said + ".includes(" + quoted(words) + ")")
}

// WaitHeading waits for the screen with this main heading.
func (p *Page) WaitHeading(words string) {
	p.t.Helper()
	p.WaitFor(`document.querySelector("h1")?.innerText.trim() === ` + quoted(words))
}

// WaitDraft waits until what was entered and not saved is in the phone's store with this in
// it, `"sedimentDepthM":"2.3"`: a kill no longer loses it.
func (p *Page) WaitDraft(entered string) {
	p.t.Helper()
	p.WaitFor(`new Promise((yes, no) => {
		const open = indexedDB.open("headcut");
		open.onerror = () => no(open.error);
		open.onsuccess = () => {
			const all = open.result.transaction("drafts").objectStore("drafts").getAll();
			all.onsuccess = () => { open.result.close(); yes(JSON.stringify(all.result).includes(` + quoted(entered) + `)); };
		};
	})`)
}
