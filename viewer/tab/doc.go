// Package tab drives one tab of a real Chromium in tests: it runs steps with patience, hears
// what the page complains of and asks for, and judges what the page shows as an eye, a
// gloved hand and a screen reader would. It is for tests alone, and knows of no page, no
// server and no phone: viewer/test opens the landholder's page in it, viewer/fieldtest/phone
// the field page.
//
// A step waits for a state and never for a time, and finds and acts in one expression, so that
// a slow machine fails no test. A map says on its element when it stands still
// (viewer/src/map/still.ts).
//
// Flags: -shots DIR keeps the screenshots that tests take; -slow 8 slows every page down
// eightfold, as on a loaded machine.
package tab
