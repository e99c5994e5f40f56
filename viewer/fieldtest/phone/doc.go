// Package phone lets tests use the field page as an officer does: a real Chromium that
// passes for a phone, against a real server in a process of its own, with the pages built
// from the sources as they are. Both can be killed at any moment and started again on the
// same data. It is for tests alone, and holds no checks of any one screen.
//
// A test package begins with
//
//	func TestMain(m *testing.M) { phone.Main(m) }
//
// and a test with
//
//	office := phone.NewOffice(t)
//	p := phone.New(t, office)
//	p.Open("/field/#/enrol/" + office.Invite("Stony Block", "R. Field"))
//	p.Tap("Enrol this phone")
//	p.WaitText("Stony Block")
//
// A part of the page can be tested without the rest: phone.Main(m, "src/storage/index.ts")
// builds that script alone, /field/ is then an empty page with the real policy, and
// p.Import("index.ts", "store") gives the script's exports to Eval as a global.
//
// Stand gives a fix every second, as a receiver does; At gives one.
//
// Whatever the page logs as an error or warning fails the test, unless it was expected
// (Page.Expect), and so does any request to another server.
//
// What is not a phone's alone is in viewer/tab: running steps, hearing the page, judging
// what it shows.
//
// Flags: -shots DIR keeps the screenshots that tests take; -campaign runs the long
// campaigns at their full length (Campaign).
package phone
