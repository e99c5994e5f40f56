package model

// Source names where a rule, a constant or a test case comes from.
type Source struct {
	Title string `json:"title"`           // handbook, standard or paper, with its year
	Place string `json:"place,omitempty"` // table, equation, chapter or section
	How   How    `json:"how"`
}

// How says how far a source can be leaned on.
type How string

// The ways a value may have reached us.
const (
	LookedUp       How = "looked up"                  // the text was read
	FromMemory     How = "from memory"                // the source is named, its text was not seen
	CommonPractice How = "common practice, no source" // officers work by it; nobody published it
	Derived        How = "derived"                    // arithmetic or geometry anyone can repeat
)

// Hows lists every way.
var Hows = []How{LookedUp, FromMemory, CommonPractice, Derived}

// String is the source as a page or a terminal shows it.
func (s Source) String() string {
	text := s.Title
	if s.Place != "" {
		text += ", " + s.Place
	}
	if text == "" {
		return string(s.How)
	}
	return text + " (" + string(s.How) + ")"
}
