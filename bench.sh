#!/usr/bin/env bash
# The measurements that MEASURED.md files and the comments of tests record. Each prints ratios to a baseline that runs
# in the same minute; lone times mean little on a shared machine.
set -euo pipefail
cd "$(dirname "$0")"
measure() { echo "== $*"; "$@"; }
measure go test ./model/geodesy -run '^$' -bench Against -benchtime 1x
measure go test ./sync/store/boltstore -run '^TestGoals$' -goals -v -timeout 30m
measure go test ./server/headcut -run ExportPeer -peer 100000 -v -timeout 30m
measure go test ./server/headcut -run MemoryIsFlat -large 100000 -v -timeout 30m
measure go test ./sync/exchange -run '^$' -bench ProcessorOfAnEntry -benchtime 7x -timeout 30m
measure go test ./sync/exchange ./sync/device -run '^$' -bench 'RoundTrip|Pull|Live|Idle|OfficersDay' -timeout 30m
measure go test ./server/parity -run 'Quick|Light' -v -timeout 30m
measure go test ./model/planning ./server/parity -run '^$' -bench PlanOfALongGully -benchtime 30x -timeout 30m
measure go test ./model/works -run LayoutCost -bench LayoutAndCheck -v
measure go test ./server/demo ./server -run 'FiguresOfThePropertyAreQuick|RenewalDoesNotGrow' -v
measure go test ./viewer/fieldtest/offline -run '^$' -bench ColdStart -benchtime 1x -v # with -before CHECKOUT beside an earlier commit
measure go test ./server/load -count=1 -goals -v -timeout 30m
