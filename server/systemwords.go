package server

import "strings"

// systemWords is what a browser says it runs on, short enough for a list: "Android 14",
// "iPhone". By RFC 9110, section 10.1.5, that stands in the first comment of its User-Agent;
// "" when it has none.
func systemWords(agent string) string {
	_, rest, _ := strings.Cut(agent, "(")
	comment, _, ok := strings.Cut(rest, ")")
	if !ok {
		return ""
	}
	said := ""
	for part := range strings.SplitSeq(comment, ";") {
		part = strings.TrimSpace(part)
		switch {
		case strings.HasPrefix(part, "Android"):
			return clipped(part)
		case said == "" && part != "X11" && part != "Wayland":
			said = part
		}
	}
	return clipped(said)
}

// clipped keeps what an unknown program says of itself from filling the list.
func clipped(words string) string {
	return strings.TrimSpace(strings.ToValidUTF8(strings.Map(func(r rune) rune {
		if r < ' ' || r > '~' {
			return -1
		}
		return r
	}, words[:min(len(words), 40)]), ""))
}
