package server

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"log/slog"
	"net/http"
	"runtime"
	"sync"
	"sync/atomic"
	"syscall"
	"time"

	"headcut/model"
	"headcut/sync/exchange"
	"headcut/sync/pace"
	"headcut/sync/photo"
	"headcut/sync/store"
)

// Config is what a server is made of. Every field is needed.
type Config struct {
	Folder string // the data folder, as the office's Problems name it
	Store  store.Register
	Photos store.Photos
	Pages  fs.FS // the built pages
	// Computations is the folder of files that run the computations in a browser; it may
	// be empty.
	Computations fs.FS
	// Audit verifies Store and Photos while they are served, and returns what it found.
	Audit func(ctx context.Context, told func(what string, done uint64)) (any, error)
	Log   *slog.Logger
	Now   func() time.Time
}

// Server answers devices, landholders and the office.
type Server struct {
	folder       string
	store        store.Register
	photos       store.Photos
	pages        *builtFiles
	computations *builtFiles
	log          *slog.Logger
	now          func() time.Time
	audit        func(ctx context.Context, told func(what string, done uint64)) (any, error)
	office       *office
	intaking     sync.Mutex      // one file is taken in at a time; guards the next
	underway     map[string]bool // ids of the intakes that are on their way in

	lookedForStrays map[string]store.Position // up to where a register was looked through for intakes without a record, while intaking is held

	exchange                    *exchange.Exchange // the devices' conversations
	wrongByAddress, wrongByCode tries              // codes
	wrongByProxy                tries              // codes, of all for whom a proxy asks that the operator did not name
	refusals                    tries              // in the log
	secure                      atomic.Bool        // people open the server by https and a name of its own
	proxies                     Proxies
	unknownProxy                sync.Once
	pace                        pace.Rule
	computing                   allowances
	turns                       *turns                              // to compute
	books                       cache[string, *linkBook]            // of the properties that landholders look at
	views                       cache[string, *latest[*packedView]] // what links show, by property
	files                       cache[fileKey, *latest[*packedFile]]
	building                    chan struct{} // a place for each file that is made of a whole property
	reading                     chan struct{} // a place for each property that is read from its beginning; whoever waits for it may hold up a file
	photoHandler                *photo.Handler
	answers                     openAnswers
	photoNames                  photoNames   // that entries name, and by whom
	absent                      absentPhotos // of them
	drawn                       *drawnPhotos
	room                        *rooms // what devices and properties use of the disk
}

// How many wrong codes a minute are answered as wrong: of an address, of one code, and of all together
// who come through a proxy on this machine that --proxy does not name, or pretend to.
const (
	wrongOfAddress = 20
	wrongOfCode    = 10
	wrongOfProxy   = 40
)

var errInternal = &model.Problem{Reason: "the server could not do this", Fix: "try again; its log says more"}

// New opens the office register and returns a server ready to be mounted.
func New(ctx context.Context, c Config) (*Server, error) {
	o, err := openOffice(ctx, c.Store, c.Now)
	if err != nil {
		return nil, err
	}
	s := &Server{
		folder: c.Folder, store: c.Store, photos: c.Photos, pages: keepBuilt(c.Pages), computations: keepBuilt(c.Computations), audit: c.Audit, log: c.Log, now: c.Now, office: o,
		wrongByAddress: tries{perMinute: wrongOfAddress}, wrongByCode: tries{perMinute: wrongOfCode}, wrongByProxy: tries{perMinute: wrongOfProxy},
		underway: map[string]bool{},
		refusals: tries{perMinute: refusalsLogged},
		pace:     pace.Default,
		turns:    newTurns(), drawn: newDrawnPhotos(), room: newRooms(),
	}
	places := max(2, runtime.GOMAXPROCS(0)-1)
	s.building, s.reading = make(chan struct{}, places), make(chan struct{}, places)
	s.books.most, s.views.most, s.files.most = mostBookFeatures, mostViewBytes, mostFileBytes
	if err := c.Photos.Adopt(ctx, s.namersOfPhotos); err != nil && !errors.Is(err, fs.ErrPermission) && !errors.Is(err, syscall.EROFS) {
		return nil, fmt.Errorf("reading who sent the photos: %w", err)
	}
	s.exchange = exchange.New(exchange.Options{Store: c.Store, Admit: s.admitToSync, Begin: s.begin, Cloned: s.cloned, Wanted: s.wantedPhotos, Room: s.entryRoom, Home: s.home, Took: s.room.took, CheckOrigin: s.ownOrigin, Address: client, Logger: c.Log, Now: c.Now})
	s.photoHandler = &photo.Handler{Photos: s.photos, Admit: s.admitToPhotos, Rights: s.photoRights, Check: photo.CheckJPEG, Room: s.photoRoom, Logger: s.log}
	return s, nil
}

// recheck has the rights of a device asked for again at once, after they were changed: in its conversations
// and in the photos that it is sending or being sent.
func (s *Server) recheck(device string) {
	s.answers.recheck(device)
	s.exchange.Recheck(device)
	s.photoHandler.Recheck(context.Background(), device)
}

// Close ends the devices' conversations, each at the frame it is at, by the time ctx ends.
func (s *Server) Close(ctx context.Context) error { return s.exchange.Stop(ctx) }

// Handler is what the network reaches.
func (s *Server) Handler() http.Handler {
	mux := http.NewServeMux()
	mux.HandleFunc("POST /enrol", s.handleEnrol)
	mux.Handle("GET /sync", s.exchange)
	mux.HandleFunc("/photos/{sha}", s.handlePhoto(s.photoHandler))
	mux.HandleFunc("GET /compute", zipped(s.handleComputations))
	mux.HandleFunc("GET /compute/{name}", zipped(s.handleComputation))
	mux.HandleFunc("POST /compute/{name}", zipped(s.handleCompute))
	mux.HandleFunc("GET /map/{link}", zipped(s.handleMap))
	mux.HandleFunc("GET /map/{link}/land.json", zipped(s.handleLinkData))
	mux.HandleFunc("GET /map/{link}/blocks/{block}", zipped(s.handleBlock))
	mux.HandleFunc("GET /map/{link}/photos/{sha}", s.handleLinkPhoto)
	mux.HandleFunc("GET /map/{link}/{file}", zipped(s.handleLinkExport))
	s.handleDevicePages(mux)
	mux.HandleFunc("GET /assets/{name}", s.handleAsset)
	mux.HandleFunc("GET /{$}", s.handleFront)
	return s.knownClient(s.paced(s.harden(s.noted(s.caught(routed(mux))))))
}
