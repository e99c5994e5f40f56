module headcut

go 1.26.0

ignore (
	./viewer/bundle/node_modules
	./viewer/node_modules
)

require (
	github.com/chromedp/cdproto v0.159.0
	github.com/chromedp/chromedp v0.23.0
	github.com/google/uuid v1.6.0
	github.com/gorilla/websocket v1.5.3
	github.com/paulmach/orb v0.14.0
	github.com/rogpeppe/go-internal v1.16.0
	github.com/tidwall/geodesic v1.52.4
	github.com/twpayne/go-kml/v3 v3.2.1
	go.etcd.io/bbolt v1.5.0
	golang.org/x/image v0.48.0
	golang.org/x/term v0.48.0
	pgregory.net/rapid v1.3.0
	rsc.io/qr v0.2.0
)

require (
	github.com/go-json-experiment/json v0.0.0-20260213210345-44df1a37e875 // indirect
	golang.org/x/sys v0.50.0 // indirect
	golang.org/x/tools v0.36.0 // indirect
)
