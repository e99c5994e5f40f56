# Headcut. 'make run' shows the main job with demo data; 'make test' runs every test.

SHELL := /bin/bash
.DEFAULT_GOAL := build
.PHONY: build computations checked timed-tests model-tests raced-tests command-tests phone-tests bundle-tests quiet-tests page-tests run pictures test soak browsers tools pages pages-tools bench load fuzz clean

# Of what opens a browser make test leaves out what takes longer than a change should wait, and
# make browsers runs all: of the landholder's page, these; of the desk's and the field page, and of
# the phone's store, all but what follows.
landlarge := TestThousandWorks|TestLargePropertyOpensAndIsRefreshed|TestLargePropertyChangesWhileItLoads
deskcore := TestDeskListsPropertiesAndItems|TestDeskShowsEntriesAsTheyCome|TestDeskWorksWithoutTheServer|TestDeskByKeyboardAlone|TestDeskThatIsRevoked

# Of the phone's store, what a browser alone can show: that it is killed, loses the store or gives no
# room. The store's own rules are tested in Node (viewer/src/storage, viewer/fieldtest/node).
storecore := TestRow05PersistenceIsAskedAndTold|TestRow07Kill|TestKilledAndLost|TestRow08LostStore|TestRow08DamagedFiles|TestRow11FullStorage|TestRow20TwoTabs|TestStartingAgain

# The field page's day in a browser, from each of its parts: marking, the book, the map, no
# signal, visits, sending. Kills and cuts on the way to the server are played in Node.
fieldcore := TestMarkIsSavedInTwoTaps|TestTypingOutlivesAKill|TestKeptIsNeverSaidTooEarly|TestPeggingOnKeepsTheRunProven|TestClashIsSettledOnThePhone|TestPropertyBegunWithNoSignal|TestMapChooses|TestTappedLine|TestWalkSurvivesTheBrowser|TestEveryScreenOpensOffline|TestColdStartComputesOnEveryScreen|TestStatusTriesBeforeItClaims|TestEnrolmentWhoseAnswerIsLost|TestHandoverCarriesADay|TestScriptIsSmall|TestVisitOfTwoTaps|TestOrderAndFollowUpWithNoSignal|TestKilledBetweenTapAndChoice|TestPhoneKilledWhileSending

# What is tested has been vetted whole, more strictly (checked), so go test does not vet it again.
gotest := go test -vet=off -timeout 25m

# Packages that start no goroutine, nor does a test of theirs (server/raced_test.go looks).
single := ./export ./server/demo ./sync/handover ./sync/intake ./sync/pace ./sync/phonecompute ./sync/register ./sync/store ./sync/wire ./viewer/kindtable ./viewer/typing

# Tests of server in which one goroutine makes or measures pictures, fills a property or reads the
# sources: the race detector would take five times their processor time, and find nothing.
unhurried := TestMakefileNamesTests|TestPhotoRequestReadsOnlyWhatCame|TestEntryRenewsWhatItChanged|TestSmallPhotoIsSmallAndUpright|TestLinkPhotoIsUprightAndWhole|TestLinkPhotoTellsNothingButItsPicture|TestWorkOfPhotos|TestServerStartsAndCallsNobody|TestSoakDrawsAllThatIsRandom|TestDocumentsNameWhatIsThere|TestEveryReaderIsFuzzed|TestFuzzScriptForgetsNothing|TestBlocksGivenAreThoseShown|TestPhotosGivenAreThoseOfThePage

# As the computations for browsers are compiled (viewer/bundle), so that nothing is compiled twice for them.
inlined := runtime internal/... reflect headcut/model/jsonvalue headcut/model/jsontoken headcut/model/section headcut/model/works
forphones := GOOS=js GOARCH=wasm GOEXPERIMENT=nogreenteagc GOFLAGS="-trimpath -gcflags=all=-l $(patsubst %,-gcflags=%=,$(inlined))"

build := go build -tags wasm_embedded -o bin/headcut ./server/headcut

# Tests of model that start goroutines (server/raced_test.go finds them).
modelshared := TestRunIsSafeToShare|TestPropertyFiguresMayBeShared|TestFailsRatherThanFindsNothing

# Tests of server/headcut that do things at once in their own process (server/raced_test.go holds
# the list whole). The others, and the scripts, run or kill one command
# after another: raced they would take five times their processor time, and find the same.
commandsraced := TestBackupWhilePhotosArrive|TestCertificateIsReadAgain|TestCommandWaitsForAServerThatStarts|TestEditMeanwhileIsAClash|TestHandshakesTakeTurns|TestOfficeAsksNobodyInATemporaryFolder|TestOldTLSIsRefused|TestOnlyTrustedUsersAtTheSocket|TestOwnExportChangesNothing|TestPipesAndDevicesAreNoFiles|TestServeUnderBothKindsOfCertificate|TestSocketThatIsNone|TestStalledHandshakesDoNotFillTheLog

# What one device costs the others, with twenty thousand entries sent before: make load runs it.
underload := TestNobodyHoldsUpTheOthers

# Tests of server, store and exchange of how long something takes or how it grows, of how much memory a
# program of its own needs, of programs that are killed in the middle, or of one goroutine that damages a file a
# thousand times: the race detector would change what they measure, or find nothing, at four times their processor time.
# What they call is raced by the other tests of these packages, which do it from many goroutines.
timed := TestRule12StalledDevice|TestSlowReadersCostLittle|TestMemoryIsFlat|TestExportPeer|TestLookupsDoNotGrow|TestRenewalDoesNotGrowWithTheProperty|TestBookShowsWhatAFreshOneShows|TestTinyEditsOfFatItems|TestLongHistoryIsBounded|TestRule16DamageIsNamed|TestSalvage|TestSalvageOfABackup|TestRule01AcknowledgedIsStored|TestKilledWhileTakingPhotos

build: computations
	$(build)

# The computations for browsers, which the build above embeds: Go alone makes them.
computations:
	time go run -C viewer/bundle . -computations wasm/built

run: build
	bin/headcut demo --data demo-data

# Take the README's pictures again, from the demo.
pictures: tools build
	go test -count=1 ./viewer/pictures -run TestPictures -write

# Every test: the oracles run live, so they are installed first. Property tests draw the same
# cases wherever they run, so that one commit has one answer; soak draws others. What one
# processor makes alone, compressing, is made beside what the other checks. Arithmetic, at the lowest
# priority, takes what is left of the processors by tests that measure one goroutine, and phones in Node
# what browsers of officers' pages leave, which take the program as it is built. Nothing reads what debuggers need, a sixth
# of the compiler's work. Each step says how long it took.
test: export RAPID_SEED = 20261125
test: export HEADCUT_BUILT = 1
test: export TIMEFORMAT = took %1R s
test: export GOFLAGS = -gcflags=all=-dwarf=false
test:
	+@$(beside) tools computations checked
	time $(build)
	+@$(beside) timed-tests model-tests
	+@$(beside) raced-tests command-tests bundle-tests
	@$(MAKE) --no-print-directory quiet-tests
	+@$(beside) page-tests phone-tests

beside := $(MAKE) --no-print-directory --output-sync=target -j4

# What is looked at without running it.
checked: pages-tools
	@test -z "$$(gofmt -l model sync export server viewer)" || { gofmt -l model sync export server viewer; exit 1; }
	time go vet ./...
	time $(forphones) go vet ./model/... ./sync/phonecompute ./viewer/wasm
	time $(forphones) PATH="$$PATH:$$(go env GOROOT)/lib/wasm" $(gotest) ./model/elementary
	cd viewer && time npm run -s types && time npm run -s lint

timed-tests:
	time $(gotest) -p 1 -run '^($(timed))$$' ./server ./server/headcut ./sync/exchange ./sync/store/boltstore

# Arithmetic and files, in which nothing starts a goroutine: raced it would take five times as
# long, and find nothing.
model-tests:
	time nice -n 19 $(gotest) ./model/... $(single)
	time nice -n 19 $(gotest) -run '^($(unhurried))$$' ./server
	time nice -n 19 $(gotest) -race -run '^($(modelshared))$$' ./model/compute ./model/figures ./model/modeltest

raced-tests:
	time $(gotest) -race -skip '^($(timed)|$(unhurried)|$(underload))$$' $$(go list ./... | grep -v -e /model -e /viewer/ -e /server/parity -e /server/headcut -e /server/load $(patsubst ./%,-e /%$$,$(single)))

# The crowd and the attackers of server/load meet the built program, which no detector looks into.
command-tests:
	time $(gotest) -race -run '^($(commandsraced))$$' ./server/headcut
	time $(gotest) -skip '^($(timed)|$(commandsraced))$$' ./server/headcut
	time $(gotest) ./server/load

phone-tests:
	time nice -n 19 $(gotest) ./viewer/fieldtest/node # beside browsers

bundle-tests:
	cd viewer/bundle && go vet ./... && time $(gotest) -count=1 ./...

# How soon a page is there is measured: these have the machine to themselves.
quiet-tests:
	time $(gotest) -p 1 -skip '^($(landlarge))$$' ./server/parity ./viewer/tab ./viewer/test

# One browser after another, built beside each other where they share a lock (tab.Alone). The
# server they talk to is raced by its own tests, and with browsers by soak.
page-tests:
	time $(gotest) -run '^($(deskcore)|$(storecore)|$(fieldcore))$$' ./viewer/desktest $(addprefix ./viewer/fieldtest/,storage day book map offline visit sync)
	time $(gotest) ./viewer/fieldtest/engines # WebKit and Firefox

# Random tests with fresh cases: property tests two hundred times as many, twenty times where each
# writes files; then the plays, kills and cuts. TestSoakDrawsAllThatIsRandom keeps the lists whole.
soak: export RAPID_SEED = 0
soak: export RAPID_NOFAILFILE = 1
soak: tools pages-tools build
	RAPID_CHECKS=20000 go test -count=1 -timeout 60m ./model ./model/banks ./model/compute ./model/figures ./model/geodesy ./model/grazing ./model/levelling \
		./model/mapgrid ./model/monitor ./model/planning ./model/runoff ./model/section ./model/soilloss ./model/track ./model/treatment ./model/works \
		./sync/handover ./sync/register ./sync/wire ./export
	RAPID_CHECKS=2000 go test -count=1 -timeout 60m ./sync/intake ./sync/store/boltstore ./sync/store/storetest
	go test -count=20 -timeout 60m -run AtRandom ./server
	go test -count=3 -timeout 60m ./viewer/fieldtest/node -steps 400
	go test -race -count=3 -timeout 60m -p 1 -run 'Kill|Died|Cut|AtRandom|BadLine' ./viewer/fieldtest/storage ./viewer/fieldtest/sync

# All that opens a browser: some thirty-five minutes. The time limits in it are for a machine
# that does nothing else; -campaign kills a hundred times.
browsers: tools pages-tools build
	go test -timeout 60m -p 1 ./server/parity ./viewer/tab ./viewer/test ./viewer/pictures ./viewer/desktest ./viewer/fieldtest/...

# What a bare Debian machine with Go and Node lacks for the tests.
tools:
	@missing=""; \
	need() { command -v $$1 >/dev/null || missing="$$missing $$2"; }; \
	need ogr2ogr gdal-bin; need GeodSolve geographiclib-tools; need cct proj-bin; \
	need xmllint libxml2-utils; [ -x /usr/lib/chromium/chromium-headless-shell ] || missing="$$missing chromium-headless-shell"; need jq jq; need zbarimg zbar-tools; \
	need firefox-esr firefox-esr; need WebKitWebDriver webkit2gtk-driver; need Xvfb xvfb; \
	/usr/bin/python3 -c 'import gi; gi.require_version("WebKit2", "4.1")' 2>/dev/null || missing="$$missing python3-gi gir1.2-webkit2-4.1"; \
	/usr/bin/python3 -c 'from osgeo import gdal' 2>/dev/null || missing="$$missing python3-gdal"; \
	/usr/bin/python3 -c 'import jsonschema' 2>/dev/null || missing="$$missing python3-jsonschema"; \
	if [ -n "$$missing" ]; then \
		as=""; [ "$$(id -u)" = 0 ] || as=sudo; \
		$$as apt-get update -qq && DEBIAN_FRONTEND=noninteractive $$as apt-get install -y -qq $$missing fonts-dejavu-core; \
	fi

# The sources of the libraries that the pages are bundled from, and the type checker.
pages-tools: viewer/node_modules/.package-lock.json

viewer/node_modules/.package-lock.json: viewer/package-lock.json
	cd viewer && npm ci --ignore-scripts --no-audit --no-fund
	@touch $@

# Bundle the pages again into viewer/dist, which is committed.
pages: pages-tools
	go generate ./viewer

# The measurements recorded in MEASURED.md files and in the comments of tests.
bench: tools pages-tools build
	./bench.sh

# A thousand devices at once, and attacks beside an honest device, against the real server:
# some three minutes of a machine that does nothing else.
load:
	go test ./server/load -count=1 -goals -v -timeout 20m
	go test ./sync/store/boltstore -count=1 -run '^($(underload))$$' -v

# A hundred million executions over all fuzz targets, or EXECUTIONS; it goes on where it stopped.
fuzz:
	./fuzz.sh $(EXECUTIONS)

clean:
	rm -rf bin demo-data viewer/wasm/built
