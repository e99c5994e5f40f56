package intake

import (
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"regexp"
	"strings"
)

// xmlText reads XML token by token under the limits, and turns the parser's errors into
// problems with a line.
type xmlText struct {
	in    *source
	d     *xml.Decoder
	out   *reading
	depth int
	each  func(xml.Token) // sees every token, nil for nobody
}

func newXMLText(in *source, out *reading) *xmlText {
	x := &xmlText{in: in, out: out, d: xml.NewDecoder(in)}
	x.d.CharsetReader = charsetReader
	return x
}

func (x *xmlText) line() int {
	line, _ := x.d.InputPos()
	return line
}

// next returns the next token; io.EOF after the last.
func (x *xmlText) next() (xml.Token, error) {
	x.in.token = 0
	t, err := x.d.Token()
	if err != nil {
		return nil, x.fault(err)
	}
	switch t := t.(type) {
	case xml.StartElement:
		if x.depth++; x.depth > MaxDepth {
			return nil, x.out.refuse(x.line(), "", fmt.Sprintf("elements nest deeper than %d", MaxDepth), "")
		}
		for i, a := range t.Attr {
			for _, b := range t.Attr[:i] {
				if a.Name == b.Name {
					return nil, x.out.refuse(x.line(), a.Name.Local, "the attribute is there twice in one tag", "")
				}
			}
			if i == 64 {
				return nil, x.out.refuse(x.line(), t.Name.Local, "has more than 64 attributes", "")
			}
		}
	case xml.EndElement:
		x.depth--
	case xml.Directive:
		return nil, x.out.refuse(x.line(), "", "has a DOCTYPE, which GPX never needs and which may hide harm", "remove it, or export the file again")
	}
	if x.each != nil {
		x.each(t)
	}
	return t, nil
}

func (x *xmlText) fault(err error) error {
	if x.in.err != nil || err == io.EOF {
		return err
	}
	if syntax, ok := errors.AsType[*xml.SyntaxError](err); ok {
		if syntax.Msg == "unexpected EOF" {
			return x.out.refuse(syntax.Line, "", "the file ends in the middle", "copy it from the device again")
		}
		return x.out.refuse(syntax.Line, "", malformed(syntax.Msg), "correct that line, or export the file again")
	}
	if encoding, ok := errors.AsType[unreadEncoding](err); ok {
		return x.out.refuse(x.line(), "", encoding.Error(), "save it as UTF-8")
	}
	return x.out.refuse(x.line(), "", "cannot be read as XML 1.0", "export it again as GPX 1.1, in UTF-8")
}

// mistakes are how the parser words those that people can see in a file, and how we do.
var mistakes = []struct {
	parser *regexp.Regexp
	ours   string // with %s for the part that the expression takes
}{
	{regexp.MustCompile(`^invalid character entity (&[^ ]+)(?: \(no semicolon\))?$`), "%s stands for no character; & alone is written &amp;"},
	{regexp.MustCompile(`^invalid character entity (&)`), "has %s alone, which is written &amp;"},
	{regexp.MustCompile(`^element <.*> closed by (</.*>)$`), "%s stands where another element should end"},
	{regexp.MustCompile(`^unexpected end element (</.*>)$`), "%s ends nothing that was begun"},
	{regexp.MustCompile(`^(?:unescaped <|expected element name after <$)`), "has < alone, which is written &lt;"},
	{regexp.MustCompile(`^invalid UTF-8$`), "has bytes that are not UTF-8"},
	{regexp.MustCompile(`^illegal character code`), "has a character that XML does not allow"},
}

// malformed says in plain words why a text is not well-formed XML, as far as that is known.
func malformed(msg string) string {
	for _, m := range mistakes {
		switch found := m.parser.FindStringSubmatch(msg); len(found) {
		case 1:
			return "is not well-formed XML: " + m.ours
		case 2:
			return "is not well-formed XML: " + fmt.Sprintf(m.ours, quote(found[1]))
		}
	}
	return "is not well-formed XML"
}

// children calls each for every child of the element whose start was last read, up to its
// end. each must read its child to the end, as children, text and skip do.
func (x *xmlText) children(each func(xml.StartElement) error) error {
	for {
		t, err := x.next()
		if err != nil {
			return err
		}
		switch t := t.(type) {
		case xml.StartElement:
			if err := each(t); err != nil {
				return err
			}
		case xml.EndElement:
			return nil
		}
	}
}

// skip reads to the end of the element whose start was last read.
func (x *xmlText) skip() error {
	for depth := x.depth; x.depth >= depth; {
		if _, err := x.next(); err != nil {
			return err
		}
	}
	return nil
}

// text reads to the end of the element whose start was last read, and returns its own
// characters without white space around them. leaf is false when it has children.
func (x *xmlText) text() (text string, leaf bool, err error) {
	var b strings.Builder
	leaf = true
	for depth := x.depth; ; {
		t, err := x.next()
		if err != nil {
			return "", false, err
		}
		switch t := t.(type) {
		case xml.CharData:
			if x.depth == depth {
				b.Write(t)
			}
			if b.Len() > MaxToken {
				return "", false, x.out.refuse(x.line(), "", fmt.Sprintf("has a text of more than %d bytes", MaxToken), "")
			}
		case xml.StartElement:
			leaf = false
		case xml.EndElement:
			if x.depth < depth {
				return strings.TrimSpace(b.String()), leaf, nil
			}
		}
	}
}
