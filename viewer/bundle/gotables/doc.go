// Package gotables takes out of a Go program for browsers what its runtime reads only to print where a
// panic happened: names of functions, paths of files, line numbers, and what an argument's bytes mean. Go's
// linker has no switch for it. The program's code is not touched, and its tables stay where they were:
// what is taken out is zeros, which DataSection of wasmfile leaves out of the file.
//
// It knows the tables of Go 1.26, as the linker writes them (cmd/link/internal/ld: pcln, symtab) and the runtime
// reads them (its files symtab, symtabinl, stkframe, traceback, panic, error), and refuses any other version. To add one, read these again, and
// every caller of funcname, funcfile, funcline1, pcdatavalue and funcdata in runtime.
//
// What Go 1.26 reads of what is blank, on js/wasm:
//
//   - Names decide four things. isSystemGoroutine asks whether a goroutine's first function begins with
//     "runtime.", by which checkdead finds a deadlock; so a function of the runtime is called by
//     one name that begins so. panicwrap cuts a wrapper's name at ".(*" and ")." and stops the
//     program where it cannot, so every name has both. argMapInternal knows reflect.makeFuncStub and
//     reflect.methodValueCall by name; these keep theirs. panicCheck1 and sigprof do not look on wasm.
//     All else prints them: throw, traceback, runtime.Caller and runtime.Frames, of whose callers
//     the program has few (TestNamesAreNotAskedFor in viewer/bundle): panics of reflect name an "unknown method".
//   - Lines and files: pcvalue gives -1 for a table at 0, and funcline1 "?" and line 0.
//     cuOffset is read after that only; startLine by profiles and frames.
//   - PCDATA_UnsafePoint is read by isAsyncSafePoint and debugCallCheck, for signals, which wasm has not
//     (preemptMSupported is false). PCDATA_ArgLiveIndex, FUNCDATA_ArgInfo and FUNCDATA_ArgLiveInfo are read by
//     printArgs, which prints "..." without; FUNCDATA_WrapInfo by the execution tracer.
//   - PCDATA_InlTreeIndex and FUNCDATA_InlTree say what is inlined where. gorecover counts by them the functions
//     between it and a panic, of which no wrapper is one; so those of wrappers stay, into which a deferred
//     method may be inlined. Whoever calls recover the compiler inlines nowhere, and of all other functions
//     what is inlined counts as they do. All else prints them, or skips by them in runtime.Callers.
//   - findfunctab says from which function on to search for an address. It is exact for every 4 kB of
//     addresses, of which a function has 64 kB on wasm: two million bytes, which the linker writes as 87,000 data
//     segments of two. Here one entry serves some functions that stand together; the runtime
//     searches on from there, as it does in a bucket of small functions elsewhere.
//
// The collector, growing stacks and recovering from panics read pcsp, PCDATA_StackMapIndex, pointer maps,
// stack objects, deferreturn and FUNCDATA_OpenCodedDeferInfo: all of these stay.
package gotables
