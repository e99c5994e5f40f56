package server

import (
	"encoding/json"
	"fmt"
	"net/http"
	"strings"
	"testing"
	"time"

	"headcut/sync/store/storetest"
)

// TestLinkExportOfMany: more items than are worked out together are all in the file.
func TestLinkExportOfMany(t *testing.T) {
	s := newSite(t)
	p, _, err := s.PropertyOrNew(t.Context(), "Ridge Block")
	if err != nil {
		t.Fatal(err)
	}
	maker := &storetest.Maker{Property: p.ID, Device: "phone1"}
	var raws []json.RawMessage
	for i := range 2*itemsAtOnce + 1 {
		raws = append(raws, maker.Entry(fmt.Sprint("dam-", i), nil, "kind", `"check-dam"`))
	}
	if _, err := s.bolt.Append(t.Context(), p.ID, raws); err != nil {
		t.Fatal(err)
	}
	secret, err := s.Share(t.Context(), p, "", s.at.Add(time.Hour))
	if err != nil {
		t.Fatal(err)
	}
	for file, one := range map[string]string{"works.geojson": `"type":"Feature",`, "works.kml": "<Placemark"} {
		status, body := ask(t, http.MethodGet, s.web.URL+"/map/"+secret+"/"+file, "")
		if n := strings.Count(body, one); status != http.StatusOK || n != len(raws) {
			t.Errorf("%s: %d, %d features of %d", file, status, n, len(raws))
		}
	}
}
