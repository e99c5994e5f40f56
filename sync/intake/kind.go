package intake

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
	"unicode"

	"github.com/paulmach/orb"

	"headcut/model"
)

// Unsorted is the kind of a record whose file names none: the officer sorts it later.
const Unsorted = "unsorted"

// KindBy is what the kind of a record was found by.
type KindBy string

// The ways, the surest first.
const (
	ByKind   KindBy = "kind"
	ByType   KindBy = "type"
	BySymbol KindBy = "sym"
	ByName   KindBy = "name"
	ByOption KindBy = "--kind"
	ByFormat KindBy = "format" // a level book
	ByNone   KindBy = ""       // unsorted
)

// clue is a word of a file that may name the kind of a record.
type clue struct {
	by   KindBy
	path string
	word string
}

// clueColumn tells which clue a column or element of this name is, however it is written.
func clueColumn(name string) (KindBy, bool) {
	switch plainWord(name) {
	case "kind", "featurekind", "kinds", "featuretype", "feature":
		return ByKind, true
	case "type":
		return ByType, true
	case "sym", "symbol":
		return BySymbol, true
	}
	return "", false
}

// assign finds the kind of a record from its clues, then from its name, then from the
// options. A clue of a kind that the place cannot be of is reported and not followed.
func (r *reading) assign(clues []clue, name string, geometry orb.Geometry, report func(path, reason, fix string)) string {
	slices.SortStableFunc(clues, func(a, b clue) int { return slices.Index(surest, a.by) - slices.Index(surest, b.by) })
	for _, c := range clues {
		found := kindOf(c.word)
		if found == "" || found == Unsorted {
			continue
		}
		if reason := misfit(found, geometry); reason != "" {
			report(c.path, reason+": kept as unsorted", "")
			continue
		}
		r.next.KindBy = c.by
		return found
	}
	if found := kindInName(name); found != "" && misfit(found, geometry) == "" {
		r.next.KindBy = ByName
		return found
	}
	if kind := r.options.Kind; kind != "" {
		reason := misfit(kind, geometry)
		if reason == "" {
			r.next.KindBy = ByOption
			return kind
		}
		report("--kind", reason+": kept as unsorted", "")
	}
	return Unsorted
}

var surest = []KindBy{ByKind, ByType, BySymbol}

// shortKinds are what officers write for a kind. Common practice, no source.
var shortKinds = map[string]string{"bm": "benchmark", "tbm": "benchmark", "xs": "cross-section", "pp": "photo-point"}

// numbered takes a number off the end of a name: "check dam 5", "BM2", "Peg 12b", "dam no. 3".
var numbered = regexp.MustCompile(`^(.*?)[\s_.#-]*(?:no\.?|nr\.?|number)?[\s_.#-]*[0-9]+[a-zA-Z]?$`)

// kindInName is the kind that a name begins with when only a number follows; "" for others:
// a fence called after a dam is no dam.
func kindInName(name string) string {
	word := strings.TrimSpace(name)
	if m := numbered.FindStringSubmatch(word); m != nil {
		word = m[1]
	}
	if found := kindOf(word); found != "" && found != Unsorted {
		return found
	}
	return shortKinds[plainWord(word)]
}

// kindsNear lists the kinds, those first that share a word with the one given, then by spelling.
func kindsNear(word string) []string {
	words := wordsIn(word)
	far := map[string]int{}
	for _, k := range model.Kinds {
		far[k.Name] = min(model.SpellingDistance(plainWord(word), plainWord(k.Name)), model.SpellingDistance(plainWord(word), plainWord(k.Label)))
		if slices.ContainsFunc(wordsIn(k.Name+" "+k.Label), func(own string) bool { return slices.Contains(words, own) }) {
			far[k.Name] = 0
		}
	}
	names := model.Each(model.Kinds, func(k model.Kind) string { return k.Name })
	slices.SortStableFunc(names, func(a, b string) int { return far[a] - far[b] })
	return names
}

func wordsIn(s string) []string {
	return strings.FieldsFunc(strings.ToLower(s), func(r rune) bool { return !unicode.IsLetter(r) })
}

// noKind says that a word names no kind: what there is instead, all of it the first time.
func (r *reading) noKind(word string) string {
	near := kindsNear(word)
	if r.kindsListed {
		return quote(word) + " names no kind: kept as unsorted; the nearest is " + near[0]
	}
	r.kindsListed = true
	return quote(word) + " names no kind: kept as unsorted; the kinds are, the nearest first, " + strings.Join(near, ", ")
}

// kindOf is the kind whose name, label or plural the word is or once was, however it is spaced and
// capitalised; "" when there is none.
func kindOf(word string) string { return kindSpelled[plainWord(word)] }

var kindSpelled = func() map[string]string {
	all := map[string]string{}
	for _, k := range slices.Backward(model.Kinds) { // of two that a word may mean, the first counts
		for _, word := range append([]string{k.Name, k.Label, k.Plural}, k.Was...) {
			all[plainWord(word)] = k.Name
		}
	}
	delete(all, "")
	return all
}()

// plainWord is s in small letters and without what people put between words.
func plainWord(s string) string {
	return strings.Map(func(r rune) rune {
		if strings.ContainsRune(" \t\r\n-_.()", r) {
			return -1
		}
		return r
	}, strings.ToLower(s))
}

// misfit says why geometry cannot be the place of a kind, "" when it can. Any kind may
// be without a place for now.
func misfit(kind string, geometry orb.Geometry) string {
	k, ok := model.KindNamed(kind)
	if !ok || geometry == nil {
		return ""
	}
	for _, piece := range piecesIn(geometry) {
		if shape := piece.shape(); !slices.Contains(k.Shapes, shape) {
			return fmt.Sprintf("is %s, which the place of a %s cannot be", articles[shape], strings.ToLower(k.Label))
		}
	}
	return ""
}

var articles = map[model.Shape]string{
	model.PointShape: "a point", model.LineShape: "a line", model.AreaShape: "an area",
}
