package photo_test

import (
	"bufio"
	"bytes"
	"context"
	"fmt"
	"io"
	"log/slog"
	"net"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"headcut/model"
	"headcut/sync/photo"
	"headcut/sync/register"
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
	for { // until the server waits for more
		if part, err := os.Stat(filepath.Join(a.dir, "parts", "d-1", sha.String())); err == nil && part.Size() == came {
			break
		}
		time.Sleep(time.Millisecond)
	}
	ctx, stop := context.WithTimeout(t.Context(), time.Minute)
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

// TestPhotoOfWhoIsNotLetInAnyMore: the rights of a device are taken away while it sends a part, and all of
// the part is read before it could be ended.
func TestPhotoOfWhoIsNotLetInAnyMore(t *testing.T) {
	a := newAlbum(t, t.TempDir())
	var gone atomic.Bool
	problem := &model.Problem{Path: "token", Reason: "this device's rights were taken away"}
	handler := &photo.Handler{Photos: a.photos, Logger: slog.New(slog.DiscardHandler), Admit: func(context.Context, string) (string, error) {
		if gone.Load() {
			return "", problem
		}
		return "d-1", nil
	}}
	raw, sha := picture(4, 1000)
	body, line := io.Pipe()
	go func() {
		_, _ = line.Write(raw[:500])
		gone.Store(true)
		_, _ = line.Write(raw[500:])
		_ = line.Close()
	}()
	request := httptest.NewRequestWithContext(t.Context(), http.MethodPatch, "/photos/"+sha.String(), body)
	request.SetPathValue("sha", sha.String())
	for header, value := range map[string]string{"Authorization": "Bearer a token", "Upload-Offset": "0", "Upload-Length": "1000"} {
		request.Header.Set(header, value)
	}
	answer := httptest.NewRecorder()
	handler.ServeHTTP(answer, request)
	if answer.Code != http.StatusForbidden || !strings.Contains(answer.Body.String(), problem.Reason) {
		t.Errorf("answered with %d %s, want 403 and why", answer.Code, answer.Body)
	}
	if missing, err := photo.Missing(t.Context(), a.photos, []register.Hash{sha}); err != nil || len(missing) != 1 {
		t.Errorf("the photo is kept (%v)", err)
	}
}

// TestTricklingPartIsEnded: a part that is to end does so although bytes of it go on coming.
func TestTricklingPartIsEnded(t *testing.T) {
	a := newAlbum(t, t.TempDir())
	raw, sha := picture(9, 300_000)
	body, line := io.Pipe()
	defer line.Close()
	request, err := http.NewRequestWithContext(t.Context(), http.MethodPatch, a.server.URL+"/photos/"+sha.String(), body)
	if err != nil {
		t.Fatal(err)
	}
	for header, value := range map[string]string{"Authorization": "Bearer a token", "Upload-Offset": "0", "Upload-Length": "300000"} {
		request.Header.Set(header, value)
	}
	go func() {
		if answer, err := http.DefaultClient.Do(request); err == nil {
			answer.Body.Close()
		}
	}()
	go func() {
		for _, c := range raw {
			if _, err := line.Write([]byte{c}); err != nil {
				return
			}
			time.Sleep(5 * time.Millisecond)
		}
	}()
	for { // until some of it has come
		if part, err := os.Stat(filepath.Join(a.dir, "parts", "d-1", sha.String())); err == nil && part.Size() > 0 {
			break
		}
		time.Sleep(time.Millisecond)
	}
	ctx, stop := context.WithTimeout(t.Context(), time.Minute)
	defer stop()
	if err := a.client(http.DefaultTransport).Send(ctx, sha, bytes.NewReader(raw), int64(len(raw))); err != nil {
		t.Errorf("Send while the part before trickles on: %v", err)
	}
}

// A phone whose connection dies again and again gets on each time: a part that has ended in the meantime
// leaves the one that came after it to be ended too; and asking again and again, as phones do, does not
// keep a part from ending.
func TestEachSilentConnectionIsEnded(t *testing.T) {
	a := newAlbum(t, t.TempDir())
	raw, sha := picture(6, 300_000)
	client := a.client(http.DefaultTransport)
	ctx, stop := context.WithTimeout(t.Context(), time.Minute)
	defer stop()
	silent := func(off, end int) (closed chan struct{}) {
		t.Helper()
		conn, err := net.Dial("tcp", strings.TrimPrefix(a.server.URL, "http://"))
		if err != nil {
			t.Fatal(err)
		}
		t.Cleanup(func() { conn.Close() })
		if _, err := fmt.Fprintf(conn, "PATCH /photos/%s HTTP/1.1\r\nHost: here\r\nAuthorization: Bearer a token\r\nContent-Type: application/partial-upload\r\n"+
			"Upload-Offset: %d\r\nUpload-Length: %d\r\nContent-Length: %d\r\n\r\n%s", sha, off, len(raw), len(raw)-off, raw[off:end]); err != nil {
			t.Fatal(err)
		}
		closed = make(chan struct{})
		go func() {
			_, _ = io.Copy(io.Discard, conn) // until the server ends it
			close(closed)
		}()
		for { // until the server has these bytes and waits for more
			part, _ := os.Stat(filepath.Join(a.dir, "parts", "d-1", sha.String()))
			if part != nil && part.Size() == int64(end) {
				return closed
			}
			if ctx.Err() != nil {
				t.Fatalf("the part up to %d does not come in", end)
			}
			time.Sleep(time.Millisecond)
		}
	}
	first := silent(0, 100_000)
	second := silent(100_000, 200_000) // on a new connection, which ends the first
	for i, closed := range []chan struct{}{first, second} {
		for ended := false; !ended; {
			have, err := client.Has(ctx, sha)
			if err != nil || have != (photo.Progress{Offset: 200_000}) {
				t.Fatalf("Has while a dead connection holds the photo: %+v, %v", have, err)
			}
			select {
			case <-closed:
				ended = true
			case <-time.After(50 * time.Millisecond):
			case <-ctx.Done():
				t.Fatalf("the silent connection %d is not ended", i+1)
			}
		}
	}
	if err := client.Send(ctx, sha, bytes.NewReader(raw), int64(len(raw))); err != nil {
		t.Errorf("Send after two dead connections: %v", err)
	}
}

// One phone has many parts in the air that stall: one more than it may have is refused at once, in words
// and before its body, however small; another phone's photo goes through, and this one's too when a stalled one has ended.
func TestManyStalledPartsAreRefused(t *testing.T) {
	a := newAlbum(t, t.TempDir())
	raw, sha := picture(4, 300_000)
	stalled := func(n, size int) (net.Conn, *bufio.Reader) {
		t.Helper()
		conn, err := net.Dial("tcp", strings.TrimPrefix(a.server.URL, "http://"))
		if err != nil {
			t.Fatal(err)
		}
		t.Cleanup(func() { conn.Close() })
		if _, err := fmt.Fprintf(conn, "PATCH /photos/%064x HTTP/1.1\r\nHost: here\r\nAuthorization: Bearer a token\r\nContent-Type: application/partial-upload\r\n"+
			"Upload-Offset: 0\r\nUpload-Length: 4000000\r\nContent-Length: %d\r\n\r\nhalf", n, size); err != nil {
			t.Fatal(err)
		}
		return conn, bufio.NewReader(conn)
	}
	var first net.Conn
	for n := range photo.PartsAtOnce {
		conn, _ := stalled(n, 4_000_000)
		if n == 0 {
			first = conn
		}
		for until := time.Now().Add(time.Minute); ; time.Sleep(time.Millisecond) { // until it comes in
			if files, _ := os.ReadDir(filepath.Join(a.dir, "parts", "d-1")); len(files) > n {
				break
			}
			if time.Now().After(until) {
				t.Fatalf("part %d does not come in", n)
			}
		}
	}
	for _, size := range []int{4_000_000, 100_000} {
		conn, r := stalled(photo.PartsAtOnce, size)
		_ = conn.SetReadDeadline(time.Now().Add(20 * time.Second)) // a body that stalls is given 30 s
		answer, err := http.ReadResponse(r, nil)
		if err != nil {
			t.Fatalf("one part more: %v", err)
		}
		body, _ := io.ReadAll(answer.Body)
		if answer.StatusCode != http.StatusServiceUnavailable || answer.Header.Get("Retry-After") == "" || !strings.Contains(string(body), "too many photos at once") {
			t.Errorf("one part more, of %d bytes, is answered %s with Retry-After %q: %s", size, answer.Status, answer.Header.Get("Retry-After"), body)
		}
		if _, err := r.ReadByte(); err != io.EOF {
			t.Errorf("the connection of a refused part goes on: %v", err)
		}
	}
	other := a.client(http.DefaultTransport)
	other.Token = "another token"
	if err := other.Send(t.Context(), sha, bytes.NewReader(raw), int64(len(raw))); err != nil {
		t.Errorf("another phone's photo: %v", err)
	}
	raw, sha = picture(5, 300_000)
	mine := a.client(http.DefaultTransport)
	if err := mine.Send(t.Context(), sha, bytes.NewReader(raw), int64(len(raw))); err == nil || !strings.Contains(err.Error(), "too many photos at once") {
		t.Errorf("this phone's photo: %v, want it refused", err)
	}
	first.Close()
	for until := time.Now().Add(time.Minute); ; time.Sleep(10 * time.Millisecond) {
		err := mine.Send(t.Context(), sha, bytes.NewReader(raw), int64(len(raw)))
		if err == nil {
			break
		}
		if time.Now().After(until) {
			t.Fatalf("this phone's photo, after a stalled one has ended: %v", err)
		}
	}
}
