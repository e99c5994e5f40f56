package photo_test

import (
	"bufio"
	"bytes"
	"context"
	"fmt"
	"net"
	"net/http"
	"strings"
	"testing"
	"time"

	"headcut/sync/photo"
)

// TestSilentConnectionDoesNotHoldAPhoto sends half a part and then nothing more, as a phone
// does that has lost its signal. The same device on a new connection must get on at once
// from where the old one stood.
func TestSilentConnectionDoesNotHoldAPhoto(t *testing.T) {
	a := newAlbum(t, t.TempDir())
	raw, sha := picture(3, 300_000)
	conn, err := net.Dial("tcp", strings.TrimPrefix(a.server.URL, "http://"))
	if err != nil {
		t.Fatal(err)
	}
	defer conn.Close()
	if _, err := fmt.Fprintf(conn, "PATCH /photos/%s HTTP/1.1\r\nHost: here\r\nAuthorization: Bearer a token\r\nContent-Type: application/partial-upload\r\n"+
		"Upload-Offset: 0\r\nUpload-Length: %d\r\nContent-Length: %d\r\n\r\n", sha, len(raw), len(raw)); err != nil {
		t.Fatal(err)
	}
	const came = 200_000
	if _, err := conn.Write(raw[:came]); err != nil {
		t.Fatal(err)
	}
	time.Sleep(200 * time.Millisecond) // until the server waits for more
	ctx, stop := context.WithTimeout(t.Context(), 5*time.Second)
	defer stop()
	client := a.client(http.DefaultTransport)
	have, err := client.Has(ctx, sha)
	if err != nil || have != (photo.Progress{Offset: came}) {
		t.Errorf("Has while a dead connection holds the photo: got %+v, %v, want %d bytes", have, err, came)
	}
	if err := client.Send(ctx, sha, bytes.NewReader(raw), int64(len(raw))); err != nil {
		t.Fatalf("Send while a dead connection holds the photo: %v", err)
	}
	_ = conn.SetReadDeadline(time.Now().Add(5 * time.Second))
	if answer, err := http.ReadResponse(bufio.NewReader(conn), nil); err == nil && answer.StatusCode/100 == 2 {
		t.Errorf("the broken part was answered with %s", answer.Status)
	}
}
