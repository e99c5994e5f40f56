package model

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strings"
)

// JSONWords says in plain words why encoding/json could not read a text, and in which member where it
// says so. What that package itself says is for programmers.
func JSONWords(err error) (path, why string) {
	if wrong, ok := errors.AsType[*json.UnmarshalTypeError](err); ok {
		is, _, _ := strings.Cut(wrong.Value, " ") // "number 1e400"
		switch is {
		case "string":
			is = "a text"
		case "array":
			is = "a list"
		case "bool":
			is = "true or false"
		case "object":
			is = "an object"
		default:
			is = "a number that cannot be"
		}
		return wrong.Field, "there is " + is + " where something else belongs"
	}
	syntax, isSyntax := errors.AsType[*json.SyntaxError](err)
	unknown, isUnknown := strings.CutPrefix(err.Error(), "json: unknown field ")
	switch {
	case isUnknown:
		return "", unknown + " is not known here"
	case errors.Is(err, io.EOF):
		return "", "it is empty"
	case errors.Is(err, io.ErrUnexpectedEOF), isSyntax && strings.HasPrefix(syntax.Error(), "unexpected end"):
		return "", "it ends in the middle"
	case isSyntax && strings.HasSuffix(syntax.Error(), "max depth"):
		return "", "it nests too deeply"
	case isSyntax:
		return "", fmt.Sprintf("it is no JSON (RFC 8259) from byte %d on", max(1, syntax.Offset))
	}
	return "", "it cannot be read as JSON (RFC 8259)"
}
