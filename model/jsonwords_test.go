package model

import (
	"encoding/json"
	"strings"
	"testing"
)

func TestJSONWords(t *testing.T) {
	for _, c := range []struct{ text, path, want string }{
		{"", "", "it is empty"},
		{`{"code":"a"`, "", "it ends in the middle"},
		{"\xff", "", "it is no JSON (RFC 8259) from byte 1 on"},
		{`{"code":"a",}`, "", "it is no JSON (RFC 8259) from byte 13 on"},
		{strings.Repeat("[", 20_000), "", "it nests too deeply"},
		{`{"code":["a"]}`, "code", "there is a list where something else belongs"},
		{`{"code":{"a":1}}`, "code", "there is an object where something else belongs"},
		{`{"code":true}`, "code", "there is true or false where something else belongs"},
		{`{"n":"one"}`, "n", "there is a text where something else belongs"},
		{`{"n":1e400}`, "n", "there is a number that cannot be where something else belongs"},
		{`{"admin":1}`, "", `"admin" is not known here`},
	} {
		var v struct {
			Code string  `json:"code"`
			N    float64 `json:"n"`
		}
		d := json.NewDecoder(strings.NewReader(c.text))
		d.DisallowUnknownFields()
		err := d.Decode(&v)
		if err == nil {
			t.Fatalf("%.40s is read", c.text)
		}
		if path, why := JSONWords(err); path != c.path || why != c.want {
			t.Errorf("%.40s: %q, %q, want %q, %q (%v)", c.text, path, why, c.path, c.want, err)
		}
	}
}
