//go:build race

package works

const raceDetector = true
