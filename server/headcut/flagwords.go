package main

import (
	"flag"
	"fmt"
	"os"
	"strconv"
	"strings"

	"headcut/model"
)

// flagWords is what is wrong with the options of a call, as a person reads it.
func flagWords(f *flag.FlagSet, err error) string {
	said := err.Error()
	if name, ok := strings.CutPrefix(said, "flag provided but not defined: -"); ok {
		var known []string
		f.VisitAll(func(one *flag.Flag) { known = append(known, one.Name) })
		return "there is no option --" + name + nearly("--", name, known)
	}
	if name, ok := strings.CutPrefix(said, "flag needs an argument: -"); ok {
		return fmt.Sprintf("--%s needs a value: --%s %s", name, name, valueOf(f, name))
	}
	for _, cut := range []struct{ begin, middle string }{{"invalid value ", " for flag -"}, {"invalid boolean value ", " for -"}} {
		rest, ok := strings.CutPrefix(said, cut.begin)
		value, rest, ok2 := strings.Cut(rest, cut.middle)
		name, why, ok3 := strings.Cut(rest, ": ")
		switch {
		case !ok || !ok2 || !ok3:
		case strings.HasPrefix(cut.begin, "invalid boolean"):
			return fmt.Sprintf("--%s takes no value: leave %s out", name, value)
		case why == "parse error":
			return fmt.Sprintf("--%s takes a whole number, not %s", name, value)
		case why == "value out of range":
			return fmt.Sprintf("--%s takes no number as large as %s", name, value)
		default:
			return fmt.Sprintf("--%s %s: %s", name, value, why)
		}
	}
	return said
}

// nearly suggests the near one of the known names, "" when none is near.
func nearly(before, name string, known []string) string {
	if near := model.NearestName(name, known); near != "" {
		return ": did you mean " + before + near + "?"
	}
	return ""
}

// valueOf is what the help writes for the value of an option.
func valueOf(f *flag.FlagSet, name string) string {
	if one := f.Lookup(name); one != nil {
		if value, _, ok := strings.Cut(strings.TrimPrefix(one.Usage, "`"), "` "); ok {
			return value
		}
	}
	return "VALUE"
}

// folderWithoutData is a folder that was named without --data before it, "" when there is none.
func folderWithoutData(f *flag.FlagSet, args []string) string {
	data := f.Lookup("data")
	if data == nil || data.Value.String() != "" || len(args) == 0 {
		return ""
	}
	if info, err := os.Stat(args[0]); err != nil || !info.IsDir() {
		return ""
	}
	if strings.ContainsAny(args[0], " \t'\"") {
		return strconv.Quote(args[0])
	}
	return args[0]
}
