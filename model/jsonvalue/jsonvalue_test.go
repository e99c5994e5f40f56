package jsonvalue

import (
	"bytes"
	"encoding/json"
	"errors"
	"math"
	"reflect"
	"strings"
	"testing"
)

type day string

// MarshalText writes a day in brackets.
func (d day) MarshalText() ([]byte, error) { return []byte("<" + string(d) + ">"), nil }

// dated reads and writes its own texts.
type dated struct{ d, m byte }

func (d dated) MarshalText() ([]byte, error) { return []byte{'0' + d.d, '/', '0' + d.m}, nil }

// UnmarshalText reads "7/9".
func (d *dated) UnmarshalText(text []byte) error {
	if len(text) != 3 || text[1] != '/' || text[0] < '0' || text[0] > '9' || text[2] < '0' || text[2] > '9' {
		return errors.New("that is no date")
	}
	d.d, d.m = text[0]-'0', text[2]-'0'
	return nil
}

type object struct{ text string }

// MarshalJSON writes what the object holds.
func (o object) MarshalJSON() ([]byte, error) { return []byte(o.text), nil }

type row struct {
	Off *float64 `json:"offM,omitempty"`
	Why string   `json:"why"`
}

type named string

// wide has a field of every type that is read and written.
type wide struct {
	Number float64                    `json:"number"`
	Maybe  *float64                   `json:"maybe"`
	Left   *int                       `json:"left,omitempty"`
	Whole  int                        `json:"whole,omitempty"`
	Small  int8                       `json:"small"`
	Count  uint64                     `json:"count"`
	Yes    bool                       `json:"yes,omitempty"`
	Text   named                      `json:"text"`
	List   []float64                  `json:"list"`
	Place  [2]float64                 `json:"place"`
	Rows   []*row                     `json:"rows"`
	Deep   [][][]float64              `json:"deep,omitempty"`
	Row    row                        `json:"row"`
	Raw    json.RawMessage            `json:"raw,omitempty"`
	Fields map[string]json.RawMessage `json:"fields"`
	Saw    map[string]uint64          `json:"saw,omitempty"`
	Lists  map[named][]string         `json:"lists,omitempty"`
	Any    any                        `json:"any,omitempty"`
	On     dated                      `json:"on"`
	Since  *dated                     `json:"since,omitempty"`
	Never  chan int                   `json:"-"`
	unseen int
	row    // its fields stand beside the others
	*Pointed
}

// Pointed stands in wide where there is one.
type Pointed struct {
	Depth *float64 `json:"depth"`
}

// standard reads as encoding/json does, names exactly, and tells whether it could.
func standard(text []byte, into any) bool { return json.Unmarshal(text, into) == nil }

func written(v any) string {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	if e.Encode(v) != nil {
		return ""
	}
	return strings.TrimSuffix(b.String(), "\n")
}

var texts = []string{
	`{"number":1.5,"maybe":null,"left":3,"whole":-2,"small":127,"count":18446744073709551615,"yes":true,"text":"a"}`,
	`{"on":"7/9","since":"1/2"}`, `{"on":"7-9"}`, `{"on":7}`, `{"on":null,"since":null}`, `{"on":{}}`,
	`{"list":[1,2e3,-0.5],"place":[147.1],"rows":[null,{},{"offM":1e-9,"why":"x"}],"deep":[[[1,2],[]],[]]}`,
	"{ \"raw\" : [ 1 , { \"a\" : \"\\\" ]\" } ] , \"fields\" : { \"b\" : null , \"a\" : 1e400 },\n\"saw\":{\"d1\":7},\"lists\":{\"x\":[\"y\"]} }",
	`{"any":{"b":[1,"two",true,null,{"c":1e21}],"a":1e-7},"offM":4,"why":"\u0041\ud83d\ude00\ud800 \n\/","other":[{"deep":[[]]}],"depth":3}`,
	`{"place":[1,2,3,4],"small":128}`, `{"left":1.0}`, `{"count":-1}`, `{"text":5}`, `{"number":1e400}`, `{"rows":{}}`, `{"saw":[]}`, `{"maybe":"x"}`,
	`null`, ` `, `{`, `[`, `{"a":1,}`, `[1,]`, `{"a" 1}`, `{1:2}`, `tru`, `nul`, `01`, `-`, `1.`, `1e`, `"\x"`, "\"\n\"", `"\ud83d"`, `{}x`, "\"\xff\"", `"\u2028"`,
	strings.Repeat("[", deepest+1) + strings.Repeat("]", deepest+1), strings.Repeat("[", deepest) + strings.Repeat("]", deepest),
}

// FuzzRead holds what is read, and what of it is written, to encoding/json.
func FuzzRead(f *testing.F) {
	for _, text := range texts {
		f.Add([]byte(text))
	}
	f.Fuzz(func(t *testing.T, text []byte) {
		if got, want := Valid(text), json.Valid(text); got != want {
			t.Fatalf("Valid(%q) = %v, want %v", text, got, want)
		}
		var got, want any
		if err := Unmarshal(text, &got); (err == nil) != standard(text, &want) || err == nil && !reflect.DeepEqual(got, want) {
			t.Fatalf("%q reads as %v, %v, want %v", text, got, err, want)
		}
		compact, err := Marshal(json.RawMessage(text))
		if again := written(json.RawMessage(text)); err == nil && string(compact) != again || err != nil && json.Valid(text) {
			t.Fatalf("%q is written %q, %v, want %q", text, compact, err, again)
		}
		if json.Valid(text) && !exact(text) {
			return // encoding/json takes "TYPE" for "type", and puts two members of one name together
		}
		var a, b wide
		err = Unmarshal(text, &a)
		if ok := standard(text, &b); (err == nil) != ok {
			t.Fatalf("Unmarshal(%q) gives %v, and the standard package %v", text, err, ok)
		}
		if err != nil {
			if !reflect.DeepEqual(a, wide{}) {
				t.Fatalf("%q is refused and leaves %+v", text, a)
			}
			return
		}
		if !reflect.DeepEqual(a, b) {
			t.Fatalf("%q reads as\n%+v, want\n%+v", text, a, b)
		}
		if out, err := Marshal(a); err != nil || string(out) != written(b) {
			t.Fatalf("%q is written\n%s, %v, want\n%s", text, out, err, written(b))
		}
	})
}

// exact tells that no object in text has a name twice, nor one that differs from those of wide in case alone.
func exact(text []byte) bool {
	d := json.NewDecoder(bytes.NewReader(text))
	d.UseNumber()
	var names []map[string]bool // of the objects and lists around; nil for a list
	isName := false
	for {
		token, err := d.Token()
		if err != nil {
			return true
		}
		switch token := token.(type) {
		case json.Delim:
			switch token {
			case '{':
				names = append(names, map[string]bool{})
			case '[':
				names = append(names, nil)
			default:
				names = names[:len(names)-1]
			}
			isName = len(names) > 0 && names[len(names)-1] != nil
			continue
		case string:
			if isName {
				seen := names[len(names)-1]
				if seen[token] || token != "offM" && token != strings.ToLower(token) || !isASCII(token) {
					return false
				}
				seen[token], isName = true, false
				continue
			}
		}
		isName = len(names) > 0 && names[len(names)-1] != nil
	}
}

func isASCII(text string) bool {
	return strings.IndexFunc(text, func(r rune) bool { return r > 0x7f }) < 0
}

func FuzzWrite(f *testing.F) {
	f.Add(0.5, "\ufffd\xef", int64(1), true)
	f.Add(0.1, "a \"b\" \\ <c> & é \u2028\u2029 \x00\x1f\x7f\b\f\n\r\t \xff\xc3", int64(3), true)
	for _, n := range []float64{0, math.Copysign(0, -1), 1e-6, 9.99e-7, 1e-9, -1e-10, 1e20, 1e21, 123456789012345678, 5e-324, math.MaxFloat64, 1e-100} {
		f.Add(n, "", int64(math.MinInt64), false)
	}
	f.Fuzz(func(t *testing.T, n float64, text string, whole int64, filled bool) {
		v := wide{Number: n, Text: named(text), Whole: int(whole), Small: int8(whole), Count: uint64(whole), Yes: filled, Place: [2]float64{n, -n}}
		if filled {
			v.Maybe, v.Off, v.Why = &n, &n, text
			v.List, v.Rows = []float64{n, n / 3}, []*row{nil, {}, {Off: &n, Why: text}}
			v.Fields = map[string]json.RawMessage{text: json.RawMessage(" [ 1 ] "), "b": nil, "a": json.RawMessage(`"x"`)}
			v.Pointed = &Pointed{&n}
			v.Any = []any{map[string]any{"d": day(text), "o": object{`{ "x" : 1 }`}, "n": nil}, &v.Whole}
		}
		got, err := Marshal(v)
		want := written(v)
		if (err == nil) != (want != "") || err == nil && string(got) != want {
			t.Errorf("Marshal, %v\n got %s\nwant %s", err, got, want)
		}
	})
}

func TestErrorSaysWhere(t *testing.T) {
	var into struct {
		Rows []struct {
			Bs   *float64           `json:"bs"`
			More map[string][]uint8 `json:"more"`
		} `json:"rows"`
	}
	for text, want := range map[string]string{
		`{"rows":[{},{"bs":"x"}]}`:               "rows[1].bs: there is a text where something else belongs",
		`{"rows":[{"more":{"a":[1,256]}}]}`:      "rows[0].more.a[1]: there is a number that cannot be where something else belongs",
		`{"rows":[{"more":{"a":true}}]}`:         "rows[0].more.a: there is true or false where something else belongs",
		`{"rows":{}}`:                            "rows: there is an object where something else belongs",
		`[]`:                                     "there is a list where something else belongs",
		`{"rows":[{"bs":1,,}]}`:                  "it is no JSON (RFC 8259) from byte 18 on: a name in quotes should be there",
		`{"rows":[`:                              "it ends in the middle",
		" ":                                      "it is empty",
		`{"x":` + strings.Repeat("[", 1e4) + `]`: "it nests too deeply",
	} {
		if err := Unmarshal([]byte(text), &into); err == nil || err.Error() != want || into.Rows != nil {
			t.Errorf("Unmarshal(%.40s) = %v, want %s and nothing read", text, err, want)
		}
	}
}

func TestFieldsWithoutTags(t *testing.T) {
	var dam struct {
		CrestHeightM float64
		Left         struct{ ToeM *float64 }
	}
	const text = `{"crestHeightM":0.4,"left":{"toeM":98.2}}`
	if err := Unmarshal([]byte(text), &dam); err != nil || dam.CrestHeightM != 0.4 || dam.Left.ToeM == nil || *dam.Left.ToeM != 98.2 {
		t.Errorf("%s reads as %+v, %v", text, dam, err)
	}
	if again, err := Marshal(dam); err != nil || string(again) != text {
		t.Errorf("it is written %s, %v, want %s", again, err, text)
	}
}

func TestUnwritten(t *testing.T) {
	for _, v := range []any{[]byte("x"), make(chan int), func() {}, map[int]bool{1: true}, complex(1, 1), math.NaN(), []float64{math.Inf(1)}, json.RawMessage("{"), object{"x"}} {
		if text, err := Marshal(v); err == nil {
			t.Errorf("%T is written as %s, want an error", v, text)
		}
	}
}
