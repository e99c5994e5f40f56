package export

import (
	"encoding/json"
	"encoding/xml"
	"html"
	"strings"
	"testing"
	"unicode/utf8"

	"headcut/model"
)

// legal is what must be left of a text, said in another way than appendClean says it:
// XML 1.0, production 2, and what Go makes of bytes that are not UTF-8.
func legal(text string) string {
	return strings.Map(func(r rune) rune {
		if r == 0x9 || r == 0xA || r == 0xD || r >= 0x20 && r <= 0xD7FF || r >= 0xE000 && r <= 0xFFFD || r >= 0x10000 && r <= 0x10FFFF {
			return r
		}
		return -1
	}, strings.ToValidUTF8(text, "\uFFFD"))
}

// FuzzTexts puts any text through the writers and both standard parsers: it must come back
// as it was less what XML forbids, and never become a tag.
func FuzzTexts(f *testing.F) {
	for _, seed := range []string{
		"", "Lantern Gully", "]]>", "<script>alert(1)</script>", "&amp;", `"quotes" and 'more'`, "\x00\x01\x1f", "🪨 🌾",
		"שלום \u202Eعربي", "a\r\nb\rc\td", "\uFFFE\uFFFF", "\xff\xfe", "\\u0041", "]]]]><![CDATA[>", "\u2028", "x\u0301",
	} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		want := legal(text)
		if !utf8.ValidString(text) {
			want = legal(string([]rune(text))) // one U+FFFD for each bad byte, as Go's range does
		}
		cleaned := clean(text)
		var fromJSON string
		if err := json.Unmarshal(appendJSONText(nil, cleaned), &fromJSON); err != nil || fromJSON != want {
			t.Errorf("JSON of %q reads back as %q (%v), want %q", text, fromJSON, err, want)
		}
		if got := elementText(t, appendXMLText(nil, cleaned)); got != want {
			t.Errorf("XML of %q reads back as %q, want %q", text, got, want)
		}
		// A description is undone twice, and what a page would draw has no tag of the data's.
		once := elementText(t, appendXMLofHTML(nil, cleaned))
		if strings.ContainsAny(once, "<>") {
			t.Errorf("description of %q reads as HTML %q with a tag in it", text, once)
		}
		if got := html.UnescapeString(once); got != want {
			t.Errorf("description of %q reads back as %q, want %q", text, got, want)
		}
		// The whole way of a recorded value.
		raw, err := json.Marshal(text)
		if err != nil {
			t.Fatal(err)
		}
		var r reader
		c, ok := r.string(raw)
		if !ok || string(c.bytes) != want {
			t.Errorf("recorded %s becomes %q (%v), want %q", raw, c.bytes, ok, want)
		}
	})
}

// elementText parses content as that of one element without children.
func elementText(t *testing.T, content []byte) string {
	t.Helper()
	decoder := xml.NewDecoder(strings.NewReader("<e>" + string(content) + "</e>"))
	var text strings.Builder
	for depth := 0; ; {
		token, err := decoder.Token()
		if err != nil {
			t.Fatalf("XML %q does not parse: %v", content, err)
		}
		switch token := token.(type) {
		case xml.StartElement:
			if depth++; depth > 1 {
				t.Fatalf("XML %q has an element %q inside", content, token.Name.Local)
			}
		case xml.CharData:
			text.Write(token)
		case xml.EndElement:
			return text.String()
		default:
			t.Fatalf("XML %q has a %T inside", content, token)
		}
	}
}

func TestXMLNames(t *testing.T) {
	seen := map[string]string{}
	for _, id := range []string{"", "a", "a_b", "a b", "a_20_b", "a/b", "0190f3c2-7d1e-7aa0-8000-000000000001", "α", "_"} {
		name := string(appendXMLName([]byte("f_"), id))
		if other, ok := seen[name]; ok {
			t.Errorf("ids %q and %q share the XML name %q", other, id, name)
		}
		seen[name] = id
		for _, r := range name {
			if !strings.ContainsRune("abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789._-", r) {
				t.Errorf("XML name %q of %q holds %q", name, id, r)
			}
		}
	}
}

func TestFieldNames(t *testing.T) {
	for raw, want := range map[string]string{"heightM": "heightM", "height m": "height_m", "2ndM": "_2ndM", "": "_", "Größe": "Gr__e", "a\"><b": "a___b"} {
		if got := model.ColumnName(raw); got != want {
			t.Errorf("model.ColumnName(%q) = %q, want %q", raw, got, want)
		}
	}
}
