package main

import (
	"context"
	"fmt"
	"runtime"
	"runtime/debug"

	"headcut/sync/register"
)

var versionCommand = command{
	name: "version", args: "", summary: "print which build this is",
	help: `
Prints the commit that this headcut was built from, when that was made, whether files were
changed since, and the version of the entries it writes: what to give when asking for help.`,
	run: runVersion,
}

func runVersion(_ context.Context, c *call) error {
	f := c.flags()
	if err := c.parse(f); err != nil {
		return err
	}
	if len(c.args) > 0 {
		return c.misused("unexpected %q", c.args)
	}
	info, ok := debug.ReadBuildInfo()
	if !ok {
		info = &debug.BuildInfo{}
	}
	fmt.Fprint(c.stdout, buildWords(info))
	return nil
}

// buildWords says which build this is.
func buildWords(info *debug.BuildInfo) string {
	settings := map[string]string{}
	for _, s := range info.Settings {
		settings[s.Key] = s.Value
	}
	commit := settings["vcs.revision"]
	switch {
	case commit == "":
		commit = "of unknown commit (not built from a repository)"
	case settings["vcs.modified"] == "true":
		commit += ", with files changed since"
	}
	if at := settings["vcs.time"]; at != "" {
		commit += "\ncommitted " + at
	}
	return fmt.Sprintf("headcut %s\nentries of version %d; %s, %s/%s\n", commit, register.Version, runtime.Version(), runtime.GOOS, runtime.GOARCH)
}
