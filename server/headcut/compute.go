package main

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"slices"
	"strings"

	"headcut/model"
	"headcut/model/compute"
	"headcut/sync/intake"
)

var computeCommand = command{
	data: true, name: "compute", args: "[NAME [--set FIELD=VALUE]… [--explain | --schema | --json] < in.json]", summary: "calculate something from JSON on standard input",
	help: `
Without a NAME, lists what can be calculated. With one, reads its input as JSON from
standard input and writes the answer as JSON to standard output. --explain writes its
inputs, outputs, units, limits and sources instead; --schema writes the JSON Schemas of
its input and output.

The answer of one computation is the input of the next, unchanged: --explain says
whose answers each takes. What the next needs besides, --set gives, as often as there are
fields: a number, true or false, a text, or JSON for a list or an object. It goes before a
value of the same name in the input. Where the step before refuses and so gives nothing, the next
refuses too; with < /dev/null it calculates from --set alone. The property's own table of spacings
goes in as it is in the settings of an export (whoaBoyRows, whoaBoySource):

    headcut compute whoa-boys --set 'rows=[{"upToPct":4,"spacingM":60}]' < track.json

    headcut compute level-run < book.json | headcut compute long-section |
        headcut compute dam-layout --set crestHeightM=0.4 | headcut compute dam-check

A refusal is written in words. With --json it is written as JSON to standard output,
for a script to read; the exit status is 1 too.`,
	run: runCompute,
}

func runCompute(_ context.Context, c *call) error {
	f := c.flags()
	explain := f.Bool("explain", false, "write inputs, outputs, units, limits and sources, for reading")
	schema := f.Bool("schema", false, "write the same as JSON, with the JSON Schemas of input and output")
	asJSON := f.Bool("json", false, "write a refusal as JSON to standard output")
	var set []string
	severalTimes(f, "set", "`FIELD=VALUE` one field beside what is read; may be given several times", &set)
	if err := c.parse(f); err != nil {
		return err
	}
	name := ""
	if len(c.args) > 0 {
		name, c.args = c.args[0], c.args[1:]
	}
	if len(c.args) > 0 {
		return c.misused("one NAME at a time, not also %q", c.args)
	}
	if name == "" {
		for _, known := range compute.All() {
			fmt.Fprintf(c.stdout, "%-21s %s\n", known.Name, known.Summary)
		}
		return nil
	}
	if known, ok := compute.Named(name); ok && *explain {
		_, err := io.WriteString(c.stdout, known.Explain())
		return err
	} else if ok && *schema {
		e := json.NewEncoder(c.stdout)
		e.SetEscapeHTML(false)
		e.SetIndent("", "  ")
		return e.Encode(known)
	}
	in, err := readInput(c.stdin, name)
	if err == nil && len(set) > 0 {
		err = notFromNothing(in, c.stdin)
	}
	if err == nil {
		if in, err = beside(in, set, name); err != nil {
			return c.misused("%v", err)
		}
	}
	var out []byte
	if err == nil {
		out, err = compute.Run(name, in)
	}
	if err != nil && *asJSON {
		_, failed := c.stdout.Write(compute.Refusal(err))
		return errors.Join(errReported, failed)
	}
	if err != nil {
		return err
	}
	_, err = c.stdout.Write(out)
	return err
}

// readInput reads no more than a computation takes, and nothing for one that is not there:
// a mistyped name must not wait for input.
func readInput(stdin io.Reader, name string) ([]byte, error) {
	if _, ok := compute.Named(name); !ok {
		return nil, nil
	}
	in, err := io.ReadAll(io.LimitReader(stdin, compute.MaxInput+1))
	if err == nil && intake.InUTF16(in) { // as some shells write what a command answers into a file
		return nil, &model.Problem{Reason: "the input is in UTF-16, an encoding that is not read", Fix: "save it as UTF-8"}
	}
	return in, err
}

// notFromNothing refuses an empty pipe, which a step that refused leaves to the next: that one would
// answer from --set alone. An empty file, a terminal and /dev/null stand for no input.
func notFromNothing(in []byte, stdin io.Reader) error {
	file, ok := stdin.(*os.File)
	if !ok || in == nil || len(bytes.TrimSpace(in)) > 0 { // nil: nothing was read for a mistyped name
		return nil
	}
	if info, err := file.Stat(); err != nil || info.Mode()&fs.ModeNamedPipe == 0 {
		return err
	}
	return &model.Problem{Reason: "the input is empty: the step before gave nothing",
		Fix: "put right what the step before refused; to calculate from --set alone, write < /dev/null"}
}

// beside puts each FIELD=VALUE into the JSON object, instead of a value that is there. An
// input that is no object is left for the computation to refuse; none at all stands for an
// empty one.
func beside(in []byte, set []string, computation string) ([]byte, error) {
	if len(set) == 0 {
		return in, nil
	}
	if len(bytes.TrimSpace(in)) == 0 {
		in = []byte("{}")
	}
	isText := map[string]bool{}
	if known, ok := compute.Named(computation); ok {
		for _, p := range known.Inputs() {
			isText[p.Name] = p.Type == "text"
		}
	}
	type member struct {
		name  string
		value json.RawMessage
	}
	var members []member
	d := json.NewDecoder(bytes.NewReader(in))
	if start, err := d.Token(); err != nil || start != json.Delim('{') {
		return in, nil
	}
	for d.More() {
		name, err := d.Token()
		var value json.RawMessage
		if err != nil || d.Decode(&value) != nil {
			return in, nil
		}
		members = append(members, member{name.(string), value})
	}
	for _, one := range set {
		name, text, ok := strings.Cut(one, "=")
		if !ok || name == "" {
			return nil, fmt.Errorf("--set %q has no field and value: write --set crestHeightM=0.4", one)
		}
		value := json.RawMessage(text)
		if !json.Valid(value) || isText[name] && value[0] != '"' { // a text without its quotes
			value, _ = json.Marshal(text)
		}
		at := slices.IndexFunc(members, func(m member) bool { return m.name == name })
		if at < 0 {
			members, at = append(members, member{name: name}), len(members)
		}
		members[at].value = value
	}
	texts := model.Each(members, func(m member) string {
		name, _ := json.Marshal(m.name)
		return string(name) + ":" + string(m.value)
	})
	return []byte("{" + strings.Join(texts, ",") + "}"), nil
}
