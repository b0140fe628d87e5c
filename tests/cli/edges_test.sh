#!/usr/bin/env bash
# Nothing of a user's is lost, and nothing odd lets anything in. Run as:
# edges_test.sh <sixfold> <nets directory>
tool=$1
nets=$2
source "$(dirname "${BASH_SOURCE[0]}")/expect.sh"

few=(--position "6x2 5 / 4x2 3")
short=("${few[@]}" --dice 21 --trials 36 --half-width 0)
cp "$nets/standard.safetensors" net
"$tool" equities --csv >table.csv
printf '6x2 5 / 4x2 3\n' >starts.jsonl
cp starts.jsonl starts.npy
cp starts.jsonl made.curve.csv
printf '{"position": "6x2 5 / 4x2 3", "rolls": ["21"]}' >lesson.json
"$tool" queue add --db night.db - <<<'{"position": "6x2 5 / 4x2 3", "dice": "21"}' >number
ln -s net link
ln net hard
sums=$(sha256sum net table.csv starts.* made.curve.csv lesson.json night.db)

# An output that is an input is refused, by whatever name, whatever else is said.
mine() { expect 1 "is read or written already" -- "$tool" "$@"; }
mine evaluate "${few[@]}" --net net --diagram net --force
mine evaluate "${few[@]}" --net net --diagram ./link --force
mine evaluate "${few[@]}" --net link --diagram hard --force
mine evaluate "${few[@]}" --equities table.csv --diagram table.csv --force
mine lesson "${short[@]}" --net net --diagram net --force
mine lesson "${short[@]}" --equities table.csv --out ./table.csv --force
mine lesson lesson.json --out lesson.json --force
mine lesson lesson.json --out a.html --out ./a.html
mine train --recipe quick --from starts.jsonl --out starts.jsonl --force
mine train --recipe quick --from made.curve.csv --out made.safetensors --force
mine train --recipe quick --luck-by net --out net --force
mine train --recipe quick --luck-for net --out hard --force
mine train --recipe quick --cube-for net --out link --force
mine train --recipe refine --start net --out net --resume
mine sample --net net --from starts.npy --out starts.npy --force
mine queue backup --db night.db --out ./night.db
expect 1 "is the queue itself" -- "$tool" queue run --db night.db --log ./night.db
cp night.db plays.csv
expect 1 "is the queue itself" -- bash -c \
  "'$tool' queue run --db plays.csv --quiet && '$tool' queue report --db plays.csv --out . --force"
"$tool" queue list --db plays.csv >list || fail "a report destroys its queue"
[ "$sums" = "$(sha256sum net table.csv starts.* made.curve.csv lesson.json night.db)" ] ||
  fail "an input was written over"

# What can't be written is refused before any work is done for it.
expect 1 "a device" -- "$tool" train --recipe quick --out /dev/null
expect 1 "too long" -- "$tool" train --recipe quick --out "$(printf 'n%.0s' {1..250})"
long=$(printf 'n%.0s' {1..252})
expect 1 "too long" -- "$tool" lesson "${few[@]}" --dice 21 --trials 1000000 --out "$long.html"
expect 0 "Written" -- "$tool" lesson "${short[@]}" --out "${long:2}.html"

# One training for one file at a time, also where it is resumed.
"$tool" train --recipe quick --games 100000 --quiet --out one.safetensors >/dev/null &
first=$!
for _ in {1..100}; do [ -e one.safetensors.checkpoint ] && break; sleep 0.05; done
for more in --force --resume; do
  expect 1 "another process trains it" -- \
    "$tool" train --recipe quick --games 100000 --out ./one.safetensors $more
done
kill -KILL $first
wait $first 2>/dev/null
# What it left holds nobody up.
"$tool" train --recipe quick --games 100000 --quiet --out one.safetensors --resume >/dev/null &
first=$!
sleep 0.4
kill -INT $first
wait $first
[ $? -eq 130 ] || fail "the lock of a killed training holds up the next one"
[ -e one.safetensors.lock ] && fail "a training that was stopped leaves its lock"

[ "$failures" -eq 0 ] && echo "All checks of edges passed"
exit "$failures"
