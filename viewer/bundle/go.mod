module headcut/viewer/bundle

go 1.26.0

require (
	github.com/andybalholm/brotli v1.2.1
	github.com/evanw/esbuild v0.28.2
)

require golang.org/x/sys v0.0.0-20220715151400-c0bba94af5f8 // indirect
