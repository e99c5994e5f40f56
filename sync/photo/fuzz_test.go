package photo

import (
	"errors"
	"io"
	"net/http"
	"strings"
	"testing"

	"headcut/model"
)

// FuzzProgress reads what a server, or something before it, may answer to a part of a photo: how
// much has come, or why not.
func FuzzProgress(f *testing.F) {
	f.Add(204, "17", "?1", "")
	f.Add(409, "0", "?0", "")
	f.Add(403, "", "", `{"path":"token","reason":"is not known here"}`)
	f.Add(502, "-1", "", "<html>")
	f.Fuzz(func(t *testing.T, status int, offset, complete, body string) {
		at, err := readProgress(&http.Response{StatusCode: status, Header: http.Header{"Upload-Offset": {offset}, "Upload-Complete": {complete}}, Body: io.NopCloser(strings.NewReader(body))})
		if p, ok := errors.AsType[*model.Problem](err); ok && p.Reason == "" || err == nil && (at.Offset < 0 || status/100 != 2) {
			t.Errorf("%d, %q, %q, %q is read as %+v, %v", status, offset, complete, body, at, err)
		}
	})
}
