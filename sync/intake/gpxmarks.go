package intake

import (
	"encoding/xml"
	"slices"
	"strings"
)

// gpxMarks are what a waypoint, route or track says of its being sensitive where nothing else is read: in an
// attribute of any element, in an element that is skipped, at one point of a line. It goes by the tokens, so
// that no place is overlooked; extension reads its own.
type gpxMarks struct {
	own     func(xml.StartElement) string
	pending *xml.StartElement // whose attributes are not judged yet: extension may take it
	taken   int               // how deep within what extension reads
	open    []openElement
	words   []gpxWord // under a name that says it
	texts   []member  // that hold the word
}

// openElement is one whose end has not come.
type openElement struct {
	name, of string // of: the name of what is within, and of its text, once that says sensitive
	text     []byte
}

// token is called with each that is read.
func (m *gpxMarks) token(t xml.Token) {
	if m.taken > 0 {
		return
	}
	m.settle()
	switch t := t.(type) {
	case xml.StartElement:
		m.pending = &t
	case xml.CharData:
		if n := len(m.open); n > 0 && len(m.open[n-1].text) < MaxToken {
			m.open[n-1].text = append(m.open[n-1].text, t...)
		}
	case xml.EndElement:
		n := len(m.open)
		if n == 0 {
			return
		}
		last := &m.open[n-1]
		switch text := strings.TrimSpace(string(last.text)); {
		case text == "":
		case last.of != "":
			m.add(last.of, text)
		case sensitiveColumn(text) && len(m.texts) < MaxMembers:
			m.texts = append(m.texts, member{last.name, rawText(cleanText(text))})
		}
		m.open = m.open[:n-1]
	}
}

// settle judges the attributes of the element that has begun.
func (m *gpxMarks) settle() {
	start := m.pending
	if m.pending = nil; start == nil {
		return
	}
	e := openElement{name: start.Name.Local}
	if n := len(m.open); n > 0 {
		e.of = m.open[n-1].of
	}
	if own := m.own(*start); own == "" || own == "extensions" || sensitiveColumn(own) {
		e.of = calledSensitive(*start, e.of)
	}
	for _, a := range start.Attr {
		switch {
		case a.Name.Space == "xmlns", a.Name.Local == "xmlns", start.Name.Local == "gpx" && !sensitiveColumn(a.Name.Local):
		case sensitiveColumn(a.Name.Local):
			m.add(a.Name.Local, a.Value)
		case e.of != "" && !sensitiveColumn(a.Value):
			m.add(e.of, a.Value)
		case e.of == "" && sensitiveColumn(a.Value) && len(m.texts) < MaxMembers:
			m.texts = append(m.texts, member{a.Name.Local, rawText(cleanText(a.Value))})
		}
	}
	m.open = append(m.open, e)
}

// add keeps what stands under a name that says sensitive. Of more than fit nobody knows what they say.
func (m *gpxMarks) add(name, value string) {
	word := gpxWord{"extensions." + name, cleanText(value)}
	for _, w := range m.words {
		if w == word {
			return
		}
	}
	if len(m.words) == mostMarks {
		word = gpxWord{"extensions." + sensitiveField.Name, "said in many ways"}
		m.words[mostMarks-1] = word
		return
	}
	m.words = append(m.words, word)
}

// mostMarks bounds them; a waypoint has one or none.
const mostMarks = 16

// take gives what was found since it was called last.
func (m *gpxMarks) take() (words []gpxWord, texts []member) {
	words, texts = m.words, m.texts
	m.words, m.texts = nil, nil
	return words, texts
}

// marked adds to the words of a feature that was read to its end what else it says of its being sensitive.
func (g *gpxText) marked(w *gpxWords) {
	words, texts := g.marks.take()
	for _, word := range w.words {
		if name, ok := strings.CutPrefix(word.name, "extensions."); ok && !sensitiveColumn(name) && sensitiveColumn(word.text) {
			texts = append(texts, member{name, rawText(word.text)})
		}
	}
	for _, mark := range words {
		if !slices.Contains(w.words, gpxWord{strings.TrimPrefix(mark.name, "extensions."), mark.text}) { // word has read that one
			w.words = append(w.words, mark)
		}
	}
	w.texts = texts
}

// calledSensitive is the name of what an element says of its feature's being sensitive: its own, that of what
// it stands in, or the field's where an attribute names it so; "" when it says nothing of that.
func calledSensitive(start xml.StartElement, of string) string {
	if sensitiveColumn(start.Name.Local) {
		return start.Name.Local
	}
	for _, a := range start.Attr {
		if of == "" && a.Name.Space != "xmlns" && a.Name.Local != "xmlns" && sensitiveColumn(a.Value) {
			return sensitiveField.Name
		}
	}
	return of
}
