#!/usr/bin/env bash
# Fuzzes every target of the tree until so many executions have been done in all:
#
#   ./fuzz.sh [EXECUTIONS]    goes on where it was stopped; 100,000,000 if no number is given
#   ./fuzz.sh -list           names the targets, each with its package
#   ./fuzz.sh -count          what has been done, target by target, and the sum
#
# The targets take turns of SLICE each, so that a slow one costs no more than a fast one, and
# go on until the sum is reached and none has had less than a fortieth of an equal share. The
# first finding ends it: the input is then in testdata/fuzz beside the target, where every
# later 'go test' runs it. Counts, corpus and programs are in bin/fuzz.
set -euo pipefail
cd "$(dirname "$0")"
slice=${SLICE:-20s} parallel=${PARALLEL:-$(nproc)} folder=$PWD/bin/fuzz
counts=$folder/counts # a line for each turn: when, commit, target, executions

targets() {
	grep -rEoH --include=*_test.go '^func Fuzz[A-Za-z0-9_]*\(f \*testing\.F\)' model sync export server viewer/*/ |
		grep -v /node_modules/ | sed -E 's|/[^/]*:func (Fuzz[A-Za-z0-9_]*).*| \1|' | sort
}

done_of() { awk -v t="$1" '$3 == t {n += $4} END {printf "%d", n}' "$counts"; }

count() {
	targets | while read -r package name; do printf '%12d %s %s\n' "$(done_of "$package/$name")" "$package" "$name"; done
	awk '{n += $4} END {printf "%12d in all\n", n}' "$counts"
}

mkdir -p "$folder"
touch "$counts"
case ${1:-} in
-list) targets && exit ;;
-count) count && exit ;;
esac
goal=${1:-100000000}
floor=$((goal / ($(targets | wc -l) * 40)))
commit=$(git describe --always --dirty 2>/dev/null || echo unknown)

targets | cut -d' ' -f1 | uniq | while read -r package; do
	go test -C "$package" -c -fuzz=Fuzz -o "$folder/$(tr / . <<<"$package").test" . >"$folder/build" 2>&1 || { cat "$folder/build"; exit 1; }
done

# turn PACKAGE NAME: fuzzes one target for a slice.
turn() {
	local program=$folder/$(tr / . <<<"$1").test said=$folder/said result=0
	(cd "$1" && "$program" -test.run='^$' -test.fuzz="^$2\$" -test.fuzztime="$slice" -test.fuzzminimizetime=20x \
		-test.fuzzcachedir="$folder/corpus/$1" -test.parallel="$parallel") >"$said" 2>&1 || result=$?
	local executions
	executions=$(grep -o 'execs: [0-9]*' "$said" | tail -1 | cut -d' ' -f2)
	echo "$(date -u +%FT%TZ) $commit $1/$2 ${executions:-0}" >>"$counts"
	# Where the end of the slice meets a busy worker, the engine calls that a failure too.
	if [ $result != 0 ] && ! [ "$(grep -A9 -e '^--- FAIL' "$said" | sed 1d)" = "$(printf '    context deadline exceeded\nFAIL')" ]; then
		echo "FOUND by $1 $2; what it said:"
		cat "$said"
		exit 1
	fi
	echo "$1 $2: ${executions:-0}"
}

while :; do
	reached=$(awk '{n += $4} END {printf "%d", n}' "$counts") enough=yes
	while read -r package name; do
		[ "$(done_of "$package/$name")" -ge "$floor" ] || enough=no
		[ "$reached" -lt "$goal" ] || [ "$(done_of "$package/$name")" -lt "$floor" ] || continue
		turn "$package" "$name"
	done < <(targets)
	[ "$reached" -lt "$goal" ] || [ $enough = no ] || break
	echo "$(date -u +%FT%TZ) $(awk '{n += $4} END {printf "%d", n}' "$counts") executions in all"
done
count
