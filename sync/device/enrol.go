package device

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"strings"
	"time"

	"github.com/google/uuid"

	"headcut/model"
	"headcut/sync/photo"
	"headcut/sync/register"
)

var client = &http.Client{Timeout: patience}

// Enrol makes a new device known to a server by a one-time code from the office. now is its clock.
func Enrol(ctx context.Context, server, code, author string, now func() time.Time) (*Device, error) {
	d := &Device{now: now, id: uuid.NewString(), server: strings.TrimRight(server, "/"), author: author,
		known: make(map[string]*property), photos: make(map[register.Hash][]byte)}
	body, err := json.Marshal(map[string]string{"code": code, "device": d.id, "author": author})
	if err != nil {
		return nil, err
	}
	request, err := http.NewRequestWithContext(ctx, http.MethodPost, d.server+"/enrol", bytes.NewReader(body))
	if err != nil {
		return nil, err
	}
	request.Header.Set("Content-Type", "application/json")
	answer, err := client.Do(request)
	if err != nil {
		return nil, err
	}
	defer answer.Body.Close() // it was only read
	if answer.StatusCode != http.StatusOK {
		problem := new(model.Problem)
		if json.NewDecoder(answer.Body).Decode(problem) != nil || problem.Reason == "" {
			problem.Reason = "the server answered " + answer.Status
		}
		return nil, problem
	}
	var granted struct {
		Token      string
		Properties []Property
	}
	if err := json.NewDecoder(answer.Body).Decode(&granted); err != nil {
		return nil, errors.Join(errors.New("the server's answer to the enrolment cannot be read"), err)
	}
	d.token, d.Properties = granted.Token, granted.Properties
	return d, nil
}

func (d *Device) sendPhotos(ctx context.Context) error {
	sender := photo.Client{Base: d.server, Token: d.token, HTTP: client}
	for sha, jpeg := range d.photos {
		if err := sender.Send(ctx, sha, bytes.NewReader(jpeg), int64(len(jpeg))); err != nil {
			return fmt.Errorf("photo %s: %w", sha, err)
		}
		delete(d.photos, sha)
	}
	return nil
}
