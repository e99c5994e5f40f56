package intake

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strings"
	"time"

	"headcut/model"
)

// MaxLevelRows bounds a level book, which becomes one value of one field.
const MaxLevelRows = 5_000

// levelBook reads a level book typed as CSV (RFC 4180). Every level below a row depends on
// it, so a row that could be misread refuses the whole book: leaving it out would shift
// all that follows.
type levelBook struct {
	out      *reading
	columns  columnMap
	comma    bool // decimals are written with a comma
	rows     []model.LevelRow
	firstRow int   // its line
	lines    []int // of rows, where each begins
	points   int   // numbers with a decimal point
	commas   int   // numbers with a decimal comma
}

// readCSV reads a level book, or points when the first row has a latitude and a longitude.
func readCSV(in *source, out *reading) error {
	separator := separatorOf(in)
	text := newPlainText(in, false)
	text.mark(MaxToken)
	d := csv.NewReader(text)
	d.Comma = separator
	d.ReuseRecord = true
	b := &levelBook{out: out, comma: separator == ';'}
	header, err := d.Read()
	if err != nil {
		return b.fault(err, 1, nil)
	}
	for i := range header {
		header[i] = strings.TrimSpace(header[i])
	}
	header = append([]string(nil), header...)
	if where, ok := placeColumns(header); ok {
		out.Format = Points
		p := &csvPoints{out: out, header: header, where: where, comma: separator == ';'}
		if err := p.read(d, text, b); err != nil || !p.commas {
			return err
		}
	} else if err := b.read(d, text, header); err != nil || b.commas == 0 {
		return err
	}
	out.tell(1, "", "columns are separated by semicolons, and a comma in a number is its decimal mark", "check a few numbers")
	return nil
}

func (b *levelBook) read(d *csv.Reader, text *plainText, header []string) (err error) {
	out := b.out
	if b.columns, err = columnsOf(header, 1, out); err != nil {
		return err
	}
	for number := 2; ; number++ { // of the row, the header being the first
		text.mark(MaxToken)
		cells, err := d.Read()
		if err == io.EOF {
			break
		}
		if err != nil {
			return b.fault(err, number, header)
		}
		line, _ := d.FieldPos(0)
		if len(b.rows) == MaxLevelRows {
			return out.refuse(line, "", fmt.Sprintf("has more than %d rows", MaxLevelRows), "split it at a change point")
		}
		if err := b.row(cells, line, number); err != nil {
			return err
		}
	}
	if b.comma && b.commas > 0 && b.points > 0 {
		return out.refuse(1, "", "decimals are written both with a point and with a comma", "write all of them the same way")
	}
	if len(b.rows) == 0 {
		return nil // finish says that there is nothing
	}
	return b.keep()
}

// separatorOf looks at the first row. A heading has none of these marks in it.
func separatorOf(in *source) rune {
	head, _ := in.buffered.Peek(4 << 10) // a shorter file is all there is
	if end := bytes.IndexAny(head, "\r\n"); end >= 0 {
		head = head[:end]
	}
	separator, most := ',', 0
	for _, c := range []rune{',', ';', '\t'} {
		if n := bytes.Count(head, []byte(string(c))); n > most {
			separator, most = c, n
		}
	}
	return separator
}

func (b *levelBook) fault(err error, number int, header []string) error {
	parse, ok := errors.AsType[*csv.ParseError](err)
	if !ok {
		if err == io.EOF {
			return b.out.refuse(1, "", "has no rows", "")
		}
		return err
	}
	switch parse.Err {
	case csv.ErrFieldCount:
		return b.out.refuse(parse.Line, "", fmt.Sprintf("row %d does not have the %d fields of the first row", number, len(header)), "give each row a field for every column, empty where there is nothing")
	case csv.ErrBareQuote, csv.ErrQuote:
		return b.out.refuse(parse.Line, "", fmt.Sprintf("row %d, byte %d of the line: a quotation mark where none can be", number, parse.Column), `put the field in quotation marks and double those within it: "2"" pipe"`)
	}
	return b.out.refuse(parse.Line, "", fmt.Sprintf("row %d: %v", number, parse.Err), "")
}

func (b *levelBook) cell(cells []string, c column) string {
	if b.columns[c] < 0 {
		return ""
	}
	return cells[b.columns[c]]
}

// row adds a row of the book.
func (b *levelBook) row(cells []string, line, number int) error {
	if strings.TrimSpace(strings.Join(cells, "")) == "" {
		b.out.tell(line, "", fmt.Sprintf("row %d is empty: left out", number), "")
		return nil
	}
	if len(b.rows) == 0 {
		b.firstRow = line
	}
	text := func(c column) string {
		cell := b.cell(cells, c)
		clean := cleanText(cell)
		if clean != cell {
			b.out.tell(line, columnWords[c][0], fmt.Sprintf("row %d has characters that no text can hold: left out", number), "")
		}
		return clean
	}
	row := model.LevelRow{Point: strings.TrimSpace(text(pointColumn)), Remark: text(remarkColumn), Feature: strings.TrimSpace(text(featureColumn))}
	for c, into := range map[column]**float64{
		backsightColumn: &row.BS, intermediateColumn: &row.IS, foresightColumn: &row.FS,
		knownLevelColumn: &row.KnownLevelM, distanceColumn: &row.DistanceM, chainageColumn: &row.ChainageM,
	} {
		v, reason, fix := b.number(b.cell(cells, c))
		if reason == "" && v != nil && (*v < -limitOf[c] || *v > limitOf[c]) {
			reason, fix = fmt.Sprintf("%v m is beyond %v m", *v, limitOf[c]), "give metres"
		}
		if reason != "" {
			return b.out.refuse(line, columnWords[c][0], fmt.Sprintf("row %d: %s", number, reason), fix)
		}
		*into = v
	}
	for c, into := range map[column]*bool{invertedColumn: &row.Inverted, struckColumn: &row.Struck} {
		yes, ok := yesOrNo(b.cell(cells, c))
		if !ok {
			return b.out.refuse(line, columnWords[c][0], fmt.Sprintf("row %d: %s is neither yes nor no", number, quote(b.cell(cells, c))), "write yes, or leave it empty")
		}
		*into = yes
	}
	if row.IS != nil && (row.BS != nil || row.FS != nil) && !row.Struck {
		other := foresightColumn
		if row.FS == nil {
			other = backsightColumn
		}
		return b.out.refuse(line, "intermediate", fmt.Sprintf("row %d has an intermediate and a %s: which was read?", number, columnWords[other][0]), "book one of them in a row of its own")
	}
	if spot := strings.ToLower(strings.TrimSpace(text(spotColumn))); spot != "" {
		if row.Spot = spotNamed(spot); row.Spot == "" {
			b.out.leave(line, "spot", fmt.Sprintf("row %d: %s is not one of %q: left out", number, quote(spot), model.Spots), "")
		}
	}
	if row.BS == nil && row.IS == nil && row.FS == nil {
		b.out.tell(line, "", fmt.Sprintf("row %d has no reading: kept", number), "")
	}
	if row.Point == "" {
		b.out.tell(line, "station", fmt.Sprintf("row %d does not name its station: kept", number), "")
	}
	b.rows = append(b.rows, row)
	b.lines = append(b.lines, line)
	return nil
}

// limitOf bounds each number in metres, far beyond any book: what is outside is a number
// in another unit or in the wrong column.
var limitOf = [columnCount]float64{
	backsightColumn: 100, intermediateColumn: 100, foresightColumn: 100,
	knownLevelColumn: 12_000, distanceColumn: 1_000_000, chainageColumn: 1_000_000,
}

// keep makes the book a level run.
func (b *levelBook) keep() error {
	raw, err := json.Marshal(b.rows)
	if err != nil {
		return b.out.refuse(b.firstRow, "", err.Error(), "")
	}
	fields := map[string]json.RawMessage{"kind": rawText("level-run"), "rows": raw}
	from, to := b.rows[0].Point, b.rows[len(b.rows)-1].Point
	if from != "" && to != "" {
		fields["name"] = rawText(from + " to " + to)
	}
	if row, reason, fix := bookFault(b.rows); reason != "" {
		b.out.tell(b.lines[row], "", reason, fix)
	} else if reason, fix := noLevels(b.rows); reason != "" {
		b.out.note(b.lines[firstRow(b.rows)], reason, fix)
	}
	b.out.kindBy = ByFormat
	return b.out.keep(b.firstRow, []string{"level-run", string(raw)}, fields, time.Time{})
}
