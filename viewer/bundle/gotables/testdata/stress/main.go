//go:build js && wasm

// Command stress does what needs the runtime's tables of functions most: the collector runs all the time while stacks
// grow and are copied, panics are recovered, and reflect makes functions. Its argument says what to do.
package main

import (
	"fmt"
	"os"
	"reflect"
	"runtime"
	"runtime/debug"
	"strings"
	"sync"
)

func main() {
	debug.SetGCPercent(1)
	switch os.Args[1] {
	case "all":
		fmt.Println("deep", deep(20000, new(1), "x"))
		fmt.Println("wide", wide())
		panics()
		reflected()
		finalized()
	case "panic":
		deep(-1, nil, "")
	case "deadlock":
		go func() { select {} }()
		select {}
	case "exit-main": // only the runtime's own goroutines are left
		runtime.Goexit()
	}
}

// deep recurses with pointers, interfaces and slices on the stack, which moves as it grows.
func deep(n int, at *int, s string) (sum int) {
	if n < 0 {
		panic("below zero")
	}
	var local [3]int
	here, held := &local[n%3], any(&local)
	*here = *at + len(s)
	if n%1000 == 0 {
		runtime.GC()
	}
	if n > 0 {
		defer func() { sum += held.(*[3]int)[n%3] % 2 }()
		sum = deep(n-1, here, s[:len(s)])
	}
	return sum + *here%7
}

// wide lets goroutines grow their stacks in turn.
func wide() (total int) {
	var all sync.WaitGroup
	results := make(chan int)
	for i := range 50 {
		all.Go(func() { results <- deep(200+i, &i, fmt.Sprint(i)) })
	}
	go func() { all.Wait(); close(results) }()
	for r := range results {
		runtime.GC()
		total += r
	}
	return total
}

type level float64

func (l level) String() string { return fmt.Sprintf("%.3f", float64(l)) }

// panics recovers from each kind of panic, at the end of a deep stack, and goes on.
func panics() {
	var none *level
	spoken := []fmt.Stringer{level(1), none} // by a wrapper that is not known beforehand
	var list []int
	var table map[string]int
	for i, fail := range []func(){
		func() { panic(fmt.Errorf("an error")) },
		func() { _ = list[len(os.Args)] },
		func() { _ = list[len(os.Args):] },
		func() { table["x"] = 1 },
		func() { _ = 1 / len(list) },
		func() { _ = any(list).(fmt.Stringer) },
		func() { _ = *none },
		func() { panic(nil) },
		func() { panics0(500) },
		func() {
			defer func() { panic(fmt.Sprint("again: ", recover())) }()
			panic("first")
		},
	} {
		fmt.Println("panic", i, recovered(fail))
	}
	fmt.Println("wrapper", strings.HasPrefix(recovered(func() { _ = spoken[len(spoken)-1].String() }), "value method "))
	fmt.Println("by wrappers", byWrappers())
	fmt.Println("reflect", recovered(func() { reflect.ValueOf(1).Len() }) != "")
}

// recovers is the one method from which a panic can be recovered, where it is deferred itself.
func (l level) recovers() { recover() }

// passes leaves it to another, which must not.
func (l level) passes() { l.recovers() }

type recovering interface{ recovers() }

type passing interface{ passes() }

// byWrappers tells whether panics are recovered through methods of pointers and interfaces, which the compiler
// makes, with the small ones inlined.
func byWrappers() (all []bool) {
	l := level(len(os.Args))
	for _, deferred := range []func(){l.recovers, (&l).recovers, recovering(&l).recovers, l.passes, (&l).passes, passing(&l).passes} {
		recovered := func() (yes bool) {
			defer func() { yes = recover() == nil }()
			defer deferred()
			panic("to a wrapper")
		}()
		all = append(all, recovered)
	}
	return all
}

func panics0(n int) {
	defer func() { runtime.GC() }()
	if n == 0 {
		panic("deep down")
	}
	panics0(n - 1)
}

func recovered(f func()) (said string) {
	defer func() { said = fmt.Sprint(recover()) }()
	f()
	return "nothing"
}

// reflected calls functions that reflect made, while the collector walks over their arguments.
func reflected() {
	add := func(a *int, b []string, c any) (string, *int) {
		runtime.GC()
		return fmt.Sprint(*a, b, c), a
	}
	made := reflect.MakeFunc(reflect.TypeOf(add), func(args []reflect.Value) []reflect.Value {
		deep(100, new(3), "reflected")
		runtime.GC()
		return reflect.ValueOf(add).Call(args)
	}).Interface().(func(*int, []string, any) (string, *int))
	text, at := made(new(41), []string{"a", "b"}, map[string]int{"c": 1})
	fmt.Println("made", text, *at)
	method := reflect.ValueOf(&walker{steps: new(7)}).MethodByName("Walk").Interface().(func(*int, string) string)
	fmt.Println("method", method(new(5), "on"))
}

type walker struct{ steps *int }

// Walk is called by reflect.methodValueCall.
func (w *walker) Walk(n *int, s string) string {
	deep(300, n, s)
	runtime.GC()
	return fmt.Sprint(*w.steps+*n, s)
}

// finalized waits for the collector's own goroutines to do their work.
func finalized() {
	done := make(chan bool)
	func() {
		big := new([1 << 16]byte)
		runtime.AddCleanup(big, func(c chan bool) { close(c) }, done)
	}()
	for range 100 {
		runtime.GC()
		runtime.Gosched()
		select {
		case <-done:
			fmt.Println("cleaned up")
			return
		default:
		}
	}
	fmt.Println("never cleaned up")
}
