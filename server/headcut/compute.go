package main

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"

	"headcut/model/compute"
)

var computeCommand = command{
	name: "compute", args: "[NAME [--explain | --schema | --json] < in.json]", summary: "work something out from JSON on standard input",
	help: `
Without a NAME, lists what can be worked out. With one, reads its input as JSON from
standard input and writes the answer as JSON to standard output. --explain tells its
inputs, outputs, units, limits and sources instead; --schema writes the JSON Schemas of
its input and output.

What is refused is told in words. With --json it is written as JSON to standard output,
for another program to read; the exit status is 1 all the same.`,
	run: runCompute,
}

func runCompute(_ context.Context, c *call) error {
	f := c.flags()
	explain := f.Bool("explain", false, "tell inputs, outputs, units, limits and sources")
	schema := f.Bool("schema", false, "write what it is as JSON, with the JSON Schemas of input and output")
	asJSON := f.Bool("json", false, "write a refusal as JSON to standard output")
	name := ""
	if len(c.args) > 0 && len(c.args[0]) > 0 && c.args[0][0] != '-' {
		name, c.args = c.args[0], c.args[1:]
	}
	if err := c.parse(f); err != nil {
		return err
	}
	if name == "" && len(c.args) > 0 {
		name, c.args = c.args[0], c.args[1:]
	}
	if len(c.args) > 0 {
		return c.misused("one NAME at a time, not also %q", c.args)
	}
	if name == "" {
		for _, known := range compute.All() {
			fmt.Fprintf(c.stdout, "%-16s %s\n", known.Name, known.Summary)
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
	if err != nil {
		return err
	}
	out, err := compute.Run(name, in)
	if err != nil && *asJSON {
		_, failed := c.stdout.Write(compute.Refusal(err))
		return errors.Join(errTold, failed)
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
	return io.ReadAll(io.LimitReader(stdin, compute.MaxInput+1))
}
