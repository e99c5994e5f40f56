package photo

import (
	"context"
	"errors"
	"fmt"
	"io/fs"

	"headcut/model"
	"headcut/sync/register"
	"headcut/sync/store"
)

// Limits of photos and their parts.
const (
	MaxBytes = 64 << 20 // of a whole photo
	MaxPart  = 4 << 20
)

// ParseSHA reads a photo's name: 64 digits of lower-case hex.
func ParseSHA(name string) (register.Hash, error) {
	var sha register.Hash
	if err := sha.UnmarshalText([]byte(name)); err != nil {
		return sha, &model.Problem{Path: "sha", Reason: fmt.Sprintf("%q is not the name of a photo", name),
			Fix: "give the SHA-256 of the file in lower-case hex"}
	}
	return sha, nil
}

// Missing returns those of shas of which the store has not the whole photo, in their order.
func Missing(ctx context.Context, photos store.Photos, shas []register.Hash) ([]register.Hash, error) {
	var missing []register.Hash
	for _, sha := range shas {
		f, err := photos.Open(ctx, sha)
		if errors.Is(err, fs.ErrNotExist) {
			missing = append(missing, sha)
			continue
		}
		if err != nil {
			return nil, err
		}
		if err := f.Close(); err != nil {
			return nil, err
		}
	}
	return missing, nil
}
