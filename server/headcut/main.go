// Command headcut is the register, computer and map of works on eroding grazing land: it
// serves devices and landholders, takes files in, gives files out, and computes.
//
// Commands of the office go through a socket in the data folder, to the server that runs on it or
// to one opened for the command, so that there is one way to do a thing. The socket is in the folder
// itself and nowhere else; each side checks who is at the other end, and a folder that everybody may
// write to is not served (officesocket.go).
//
// A backup replaces an earlier one only when it contains it, compared entry by entry where their
// chains differ, so that neither a swapped --data and --to nor a fork loses anything (target.go). A
// restored register comes to its place only when its phones and links are kept shut (keepshut.go), so
// that a crash in between opens nothing.
package main

import (
	"cmp"
	"context"
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"os/signal"
	"slices"
	"strings"
	"syscall"

	"headcut/model"
)

// command is one word after "headcut".
type command struct {
	name    string
	args    string // what follows the name, as help shows it
	summary string
	help    string
	data    bool // its standard output may be data for a program, which is written as it is
	run     func(ctx context.Context, c *call) error
}

// commands in the order in which a newcomer meets them.
var commands = []command{demoCommand, serveCommand, enrolCommand, intakeCommand, computeCommand, planCommand, figuresCommand, followUpCommand, exportCommand, shareCommand, propertiesCommand, devicesCommand, linksCommand, verifyCommand, backupCommand, restoreCommand, versionCommand}

// call is one run of a command.
type call struct {
	command
	args           []string
	stdin          io.Reader
	stdout, stderr io.Writer
}

// flags makes the command's flag set; its help goes with the command's own.
func (c *call) flags() *flag.FlagSet {
	f := flag.NewFlagSet(c.name, flag.ContinueOnError)
	f.SetOutput(io.Discard)
	return f
}

// severalTimes defines a flag that may be given several times, and adds each value to all.
func severalTimes(f *flag.FlagSet, name, usage string, all *[]string) {
	f.Func(name, usage, func(one string) error {
		*all = append(*all, one)
		return nil
	})
}

// errUsage is a call that cannot be understood; the reason has been printed.
var errUsage = errors.New("usage")

// errReported is a failure that was written to standard output.
var errReported = errors.New("reported on standard output")

// parse reads the command's flags, before, between and behind the other words, and leaves those
// in c.args. What follows "--" is no flag.
func (c *call) parse(f *flag.FlagSet) error {
	left := c.args
	c.args = nil
	for {
		err := f.Parse(left)
		switch {
		case errors.Is(err, flag.ErrHelp):
			c.printHelp(c.stdout, f)
			return err
		case err != nil:
			return c.misused("%s", flagWords(f, err))
		}
		read := len(left) - f.NArg()
		if f.NArg() == 0 || read > 0 && left[read-1] == "--" {
			c.args = append(c.args, f.Args()...)
			if folder := folderWithoutData(f, c.args); folder != "" {
				return c.misused("--data is missing before %s: write --data %s", folder, folder)
			}
			return nil
		}
		c.args, left = append(c.args, f.Arg(0)), f.Args()[1:]
	}
}

// misused reports how the command was called wrongly and where its help is.
func (c *call) misused(format string, args ...any) error {
	fmt.Fprintf(c.stderr, "headcut %s: %s\nRun 'headcut %s -h' for its help.\n", c.name, fmt.Sprintf(format, args...), c.name)
	return errUsage
}

func (c *call) printHelp(w io.Writer, f *flag.FlagSet) {
	for _, form := range strings.Split(c.command.args, "\n") {
		fmt.Fprintln(w, strings.TrimSpace("headcut "+c.name+" "+form))
	}
	fmt.Fprintf(w, "\n%s\n", strings.TrimSpace(c.help))
	head := "\nOptions:\n"
	f.VisitAll(func(one *flag.Flag) {
		fmt.Fprint(w, head, "  --", option(one), "\n")
		head = ""
	})
}

// option is a flag as the help lists it. Its usage begins with what to write for its value,
// between backquotes, unless it has none.
func option(f *flag.Flag) string {
	value, about := "", f.Usage
	if name, rest, ok := strings.Cut(strings.TrimPrefix(f.Usage, "`"), "` "); ok && strings.HasPrefix(f.Usage, "`") {
		value, about = " "+name, rest
	}
	line := fmt.Sprintf("%-22s %s", f.Name+value, about)
	if !slices.Contains([]string{"", "0", "false", "-"}, f.DefValue) {
		line += "; " + f.DefValue + " if not given"
	}
	return line
}

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	os.Exit(run(ctx, os.Args[1:], os.Stdin, os.Stdout, os.Stderr))
}

// run is main without the process: 0 done, 1 failed, 2 called wrongly.
func run(ctx context.Context, args []string, stdin io.Reader, stdout, stderr io.Writer) int {
	if len(args) == 0 || args[0] == "help" || args[0] == "-h" || args[0] == "--help" {
		return help(args, stdout, stderr)
	}
	for _, known := range commands {
		if known.name != args[0] {
			continue
		}
		stderr = printed{stderr}
		if !known.data {
			stdout = printed{stdout}
		}
		c := &call{command: known, args: args[1:], stdin: stdin, stdout: stdout, stderr: stderr}
		err := known.run(ctx, c)
		switch {
		case err == nil || errors.Is(err, flag.ErrHelp):
			return 0
		case errors.Is(err, errUsage):
			return 2
		case errors.Is(err, errReported):
			return 1
		}
		fmt.Fprintf(stderr, "headcut %s: %s\n", known.name, problemText(err))
		return 1
	}
	names := model.Each(commands, func(known command) string { return known.name })
	fmt.Fprintf(stderr, "headcut: there is no command %q%s\nRun 'headcut help' for the list.\n", args[0], cmp.Or(nearly("", args[0], names), "."))
	return 2
}

// problemText is an error as a person reads it: what is wrong, then on its own line what to do.
func problemText(err error) string {
	p := plainly(err)
	if p == nil {
		return err.Error()
	}
	if p.Fix == "" {
		return p.Error()
	}
	plain := *p
	plain.Fix = ""
	return plain.Error() + "\n  " + p.Fix
}

func help(args []string, stdout, stderr io.Writer) int {
	if len(args) > 1 && args[1] != "help" && args[1] != "-h" && args[1] != "--help" {
		return run(context.Background(), []string{args[1], "-h"}, nil, stdout, stderr)
	}
	fmt.Fprint(stdout, "Headcut keeps the register of works on eroding grazing land, computes them, and maps them.\n\n")
	for _, c := range commands {
		fmt.Fprintf(stdout, "  headcut %-10s %s\n", c.name, c.summary)
	}
	fmt.Fprint(stdout, "\nStart with 'headcut demo'. 'headcut help COMMAND' says more of one.\n")
	return 0
}
