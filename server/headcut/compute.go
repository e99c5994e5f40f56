package main

import (
	"context"
	"fmt"
	"io"

	"headcut/model"
	"headcut/model/compute"
)

var computeCommand = command{
	name: "compute", args: "[NAME [--explain] < in.json]", summary: "work something out from JSON on standard input",
	help: `
Without a NAME, lists what can be worked out. With one, reads its input as JSON from
standard input and writes the answer as JSON to standard output. --explain tells its
inputs, outputs, units, limits and sources instead.`,
	run: runCompute,
}

func runCompute(_ context.Context, c *call) error {
	f := c.flags()
	explain := f.Bool("explain", false, "tell inputs, outputs, units, limits and sources")
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
	known, ok := compute.Named(name)
	if !ok {
		return &model.Problem{Path: "NAME", Reason: fmt.Sprintf("there is no computation %q", name), Fix: "'headcut compute' lists them"}
	}
	if *explain {
		_, err := io.WriteString(c.stdout, known.Explain())
		return err
	}
	in, err := io.ReadAll(c.stdin)
	if err != nil {
		return err
	}
	out, err := compute.Run(name, in)
	if err != nil {
		return err
	}
	_, err = c.stdout.Write(out)
	return err
}
