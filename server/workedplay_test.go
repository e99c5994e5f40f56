package server

import (
	"encoding/json"
	"fmt"
	"net/http"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"headcut/sync/store/storetest"
	"headcut/sync/workedtest"
)

// chance are ids, codes and secrets: they are told apart by where they first come.
var chance = regexp.MustCompile(`[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12}|"code":"[^"]*"|/map/[^/"]+|\bv[0-9a-f]{16}\b`)

// TestWorkedPlays: all that the office is answered, step by step. A step is a request to the office's
// socket, or
//
//	later 2h                    the clock moves
//	enrol DEVICE AUTHOR: NAMES  a phone is given properties, and redeems its code
//	again DEVICE ROW            a phone redeems a code that enrols a row again
//	code NAME ROW AUTHOR: NAMES the office makes a code; a row but 0 is enrolled again by it
//	redeem NAME DEVICE AUTHOR   a phone tries it; with TOKEN=, FORMER= and SECRET= it says more
//	begin DEVICE ID: NAME       a phone begins a property
//	phone DEVICE                what a phone is let in to
//	entries DEVICE NAME N       a phone has sent entries of a property
//	edited QUERY: OLD => NEW; …  an export of the property Far comes back edited
//	kept                        an export of it is kept, and comes back later by stale QUERY
//	bare QUERY: OLD => NEW; …   an export of it comes back edited, without versions
//	listed                      what the property Far has
//	shut                        the register was restored
func TestWorkedPlays(t *testing.T) {
	workedtest.Run(t, "../testdata/office/plays.txt", func(t *testing.T, given string) string {
		s := newSite(t)
		var out strings.Builder
		kept := ""
		seen, codes := map[string]string{}, map[string]string{"none": "no such code"}
		masked := func(text string) string {
			return chance.ReplaceAllStringFunc(text, func(is string) string {
				if seen[is] == "" {
					seen[is] = fmt.Sprintf("<%d>", len(seen)+1)
				}
				return seen[is]
			})
		}
		token := func(device string) string { return strings.Repeat(device, 40)[:40] }
		for step := range strings.Lines(given) {
			step = strings.TrimSpace(step)
			head, names, _ := strings.Cut(step, ": ")
			words := strings.Fields(head)
			said := ""
			fail := func(err error) {
				if err != nil {
					said = err.Error()
				}
			}
			switch words[0] {
			case "later":
				d, err := time.ParseDuration(words[1])
				if err != nil {
					t.Fatal(err)
				}
				s.at = s.at.Add(d)
			case "enrol":
				s.enrolledAs(t, words[1], words[2], strings.Split(names, ", ")...)
			case "again":
				code, err := s.adminInvite(t.Context(), Invite{Again: words[2]})
				if fail(err); err == nil {
					_, said = s.tries(t, enrolRequest{Code: code.Code, Device: words[1], Token: token(words[1])})
				}
			case "code":
				invite := Invite{Author: strings.Trim(words[3], "-"), New: true}
				if words[2] != "0" {
					invite.Again = words[2]
				}
				if names != "" {
					invite.Properties = strings.Split(names, ", ")
				}
				made, err := s.adminInvite(t.Context(), invite)
				fail(err)
				codes[words[1]] = made.Code
			case "redeem":
				req := enrolRequest{Code: codes[words[1]], Device: words[2], Author: words[3], Token: token(words[2])}
				for _, more := range words[4:] {
					name, value, _ := strings.Cut(more, "=")
					switch name {
					case "TOKEN":
						req.Token = value
					case "FORMER":
						_ = json.Unmarshal([]byte(fmt.Sprintf(`{"former":{"device":%q,"token":%q}}`, value, token(value))), &req)
					case "SECRET":
						req.Former.Token = value
					}
				}
				status, answer := s.tries(t, req)
				said = fmt.Sprint(status, " ", answer)
			case "begin":
				fail(s.begin(t.Context(), words[1], words[2], names))
			case "phone":
				grant, err := s.admitToSync(t.Context(), token(words[1]))
				if fail(err); err == nil {
					raw, _ := json.Marshal(grant)
					said = string(raw)
				}
			case "entries":
				p, err := s.Property(words[2])
				if err != nil {
					t.Fatal(err)
				}
				maker := &storetest.Maker{Property: p.ID, Device: words[1]}
				n, _ := strconv.Atoi(words[3])
				for i := range n {
					if _, err := s.bolt.Append(t.Context(), p.ID, []json.RawMessage{maker.Entry(fmt.Sprint("f-", i), nil, "kind", `"peg"`)}); err != nil {
						t.Fatal(err)
					}
				}
			case "kept", "edited", "stale", "bare":
				status, text := ask(t, http.MethodGet, s.admin.URL+"/office/export?property=Far&format=geojson", "")
				if status != http.StatusOK {
					t.Fatal(text)
				}
				switch words[0] {
				case "kept":
					kept = text
					continue
				case "stale":
					text = kept
				case "bare":
					text = regexp.MustCompile(`"version":"[^"]*",`).ReplaceAllString(text, "")
				}
				for _, pair := range strings.Split(names, "; ") {
					was, is, _ := strings.Cut(pair, " => ")
					if !strings.Contains(text, was) {
						t.Fatalf("the export has no %s:\n%s", was, text)
					}
					text = strings.ReplaceAll(text, was, is)
				}
				status, answer := ask(t, http.MethodPost, s.admin.URL+"/office/intake?file=back.geojson&property=Far&"+words[1], text)
				said = fmt.Sprint(status, " ", strings.TrimSpace(answer))
			case "listed":
				p, err := s.Property("Far")
				if err != nil {
					t.Fatal(err)
				}
				for f, err := range s.folded(t.Context(), p.ID) {
					if err != nil {
						t.Fatal(err)
					}
					raw, _ := json.Marshal(f.Fields)
					said += fmt.Sprintf("%s struck %t, %d clashes, last by %s: %s\n     ", f.Feature, f.Struck, len(f.Clashes), f.Changed.Author, raw)
				}
			case "shut":
				shut, err := s.KeepShut(t.Context())
				if fail(err); err == nil {
					said = fmt.Sprintf("%+v", shut)
				}
			case http.MethodGet, http.MethodPost:
				method, rest, _ := strings.Cut(step, " ")
				path, body, _ := strings.Cut(rest, " ")
				if strings.Contains(path, "/intake?") {
					body = strings.ReplaceAll(body, `\n`, "\n")
				}
				status, answer := ask(t, method, s.admin.URL+path, body)
				said = fmt.Sprint(status, " ", strings.TrimSpace(answer))
				said = strings.ReplaceAll(said, "},{", "},\n     {")
			default:
				t.Fatalf("what is %q", step)
			}
			if said != "" {
				fmt.Fprintf(&out, "%s\n  => %s\n", step, masked(strings.TrimSpace(said)))
			}
		}
		return out.String()
	})
}
