package intake

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"strings"
)

// csvText reads a table as CSV (RFC 4180), row by row.
type csvText struct {
	out    *reading
	text   *plainText
	d      *csv.Reader
	header []string
	row    int // number of the present row, the header being the first
	line   int // where it begins

	comma  bool // decimals may be written with a comma
	commas int  // numbers that are
}

// readCSV reads a level book, or points when the first row says where something is.
func readCSV(in *source, out *reading) error {
	separator := separatorOf(in)
	text := newPlainText(in, false)
	text.allow(MaxToken)
	t := &csvText{out: out, text: text, d: csv.NewReader(text), row: 1, comma: separator == ';'}
	t.d.Comma = separator
	header, err := t.d.Read()
	if err != nil {
		return t.fault(err)
	}
	for i := range header {
		header[i] = strings.TrimSpace(header[i])
	}
	t.header, t.d.ReuseRecord = header, true
	if where, ok := placeColumns(header); ok {
		out.Format = Points
		err = (&csvPoints{csvText: t, where: where}).read()
	} else {
		err = (&levelBook{csvText: t}).read()
	}
	if err == nil && t.commas > 0 {
		out.report(1, "", "columns are separated by semicolons, and a comma in a number is its decimal mark", "check a few numbers")
	}
	return err
}

// separatorOf looks at the first row. A heading has none of these marks in it.
func separatorOf(in *source) rune {
	head, _ := in.buffered.Peek(4 << 10) // a shorter file is all there is
	head, _, _ = bytes.Cut(bytes.TrimLeft(bytes.ReplaceAll(head, []byte("\r"), []byte("\n")), "\n"), []byte("\n"))
	separator, most := ',', 0
	for _, c := range ",;\t" {
		if n := bytes.Count(head, []byte(string(c))); n > most {
			separator, most = c, n
		}
	}
	return separator
}

// rows calls each for every row after the header that has anything in it.
func (t *csvText) rows(each func(cells []string) error) error {
	for {
		t.row++
		t.text.allow(MaxToken)
		cells, err := t.d.Read()
		switch {
		case err == io.EOF:
			return nil
		case err != nil:
			return t.fault(err)
		}
		t.line, _ = t.d.FieldPos(0)
		if strings.TrimSpace(strings.Join(cells, "")) == "" {
			t.out.report(t.line, "", t.said(" is empty: left out"), "")
		} else if err := each(cells); err != nil {
			return err
		}
	}
}

// said begins a sentence with the number of the present row.
func (t *csvText) said(rest string) string { return fmt.Sprintf("row %d%s", t.row, rest) }

func (t *csvText) fault(err error) error {
	parse, ok := errors.AsType[*csv.ParseError](err)
	switch {
	case err == io.EOF:
		return t.out.refuse(1, "", "has no rows", "")
	case !ok:
		return err
	case parse.Err == csv.ErrFieldCount:
		return t.out.refuse(parse.Line, "", t.said(fmt.Sprintf(" does not have the %d fields of the first row", len(t.header))), "give each row a field for every column, empty where there is nothing")
	case parse.Err == csv.ErrBareQuote || parse.Err == csv.ErrQuote:
		return t.out.refuse(parse.Line, "", t.said(fmt.Sprintf(", byte %d of the line: a quotation mark where none can be", parse.Column)), `put the field in quotation marks and double those within it: "2"" pipe"`)
	}
	return t.out.refuse(parse.Line, "", t.said(fmt.Sprintf(": %v", parse.Err)), "")
}

// decimal is a cell with the decimal mark of a program, not the comma that a person may have typed.
func (t *csvText) decimal(cell string) string {
	if t.comma {
		return strings.Replace(cell, ",", ".", 1)
	}
	return cell
}
