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

echo "left by a backup that was killed" >copy.db.sixfold-partial
expect 0 -- "$tool" queue backup --db night.db --out copy.db
[ "$(echo copy.db*)" = copy.db ] || fail "a backup leaves more than itself: $(echo copy.db*)"

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

# Wrong numbers are refused before anything is done with them.
for bad in -1 99999999999999999999999 "" 1e3; do
  expect 2 "is not a whole number" -- "$tool" rollout "${few[@]}" --dice 21 --seed "$bad"
done
for option in --confidence --half-width --error --blunder; do
  for bad in nan inf -1; do
    expect 2 "is not a number" -- "$tool" rollout "${few[@]}" --dice 21 "$option" "$bad"
  done
done
expect 2 "is not a number" -- "$tool" sample --out s.npy --explore nan
expect 2 "is not a number" -- "$tool" duel net net --confidence nan
expect 1 "every play gets the same trials" -- "$tool" flip "${few[@]}" --dice 21 --half-width nan
outcomes=$("$tool" evaluate --position "6x2 / 6x15" --json)
[[ $outcomes == *'"outcomes":{'* && $outcomes != *'":-'*e-* ]] || fail "shares below 0: $outcomes"
sed 's/^\(2,[^,]*,[^,]*\),[^,]*/\1,0.9/; s/^\(3,[^,]*\),[^,]*/\1,0.1/' table.csv >rising.csv
expect 1 "line " "rising.csv" "expected" -- \
  "$tool" cube "${few[@]}" --score 3-away/3-away --equities rising.csv
expect 1 "not a legal play" -- timeout -s KILL 20 "$tool" evaluate --dice 11 \
  --after "11: $(printf '24/23 13/12 8/7 6/5 %.0s' {1..20})"

# Requests: what one of them does wrong costs no other its answer.
deep=$(head -c 60000 /dev/zero | tr '\0' '[')
{
  echo '{"id":1e999}'
  echo "{\"id\":$deep"
  printf '{"id":1,"title":"%s"}\n' "$(head -c 1100000 /dev/zero | tr '\0' 'a')"
  printf '{"id":2,"position":"5 / 4"}\0{"position":"6 / 4"}\n'
  echo '{"id":3,"position":"5 / 4","position":"6 / 4"}'
  echo '{"id":4,"position":"5 / 4"}'
} >odd.jsonl
"$tool" evaluate --requests odd.jsonl >answers 2>odd.note
[ $? -eq 1 ] || fail "odd requests do not end with 1"
[ "$(grep -c sixfold.error/1 answers)" = 5 ] || fail "odd requests: $(cut -c1-200 answers)"
grep -q '"id":4,"position"' answers || fail "a request behind odd ones has no answer"
grep -q "line is too long" answers || fail "nobody says that a line is too long"
expect 1 "control character" -- \
  "$tool" evaluate --requests <(echo '{"title":"\u001b[2J","position":"5 / 4"}')

# Files that are none, or without an end, hold nobody up.
mkdir -p pipes sparse
mkfifo pipes/one-sided-6.table
truncate -s 1T sparse/one-sided-6.table sparse.safetensors sparse.json sparse.csv
for cache in pipes sparse; do
  expect 0 "is no file of" "Equity" -- timeout -s KILL 60 "$tool" evaluate "${few[@]}" --cache $cache
done
expect 1 "is it a network?" -- timeout -s KILL 20 "$tool" evaluate "${few[@]}" --net sparse.safetensors
expect 1 "is too long" -- timeout -s KILL 20 "$tool" lesson sparse.json
expect 1 "is too long" -- timeout -s KILL 20 "$tool" equities --equities sparse.csv
expect 1 "is too long" -- timeout -s KILL 20 "$tool" match sparse.json
expect 1 "is too long" -- timeout -s KILL 20 "$tool" queue add --db other.db sparse.json
expect 0 "3-away/5-away" -- bash -c "'$tool' lesson --position '6x2 5 / 4x2 3' --dice 21 --trials 36 \
  --half-width 0 --score 3-away/5-away --equities <(cat table.csv)"
if [ -e /dev/full ]; then
  for told in --help --version "evaluate --help" "rollout --help-all" "help rollout"; do
    "$tool" $told >/dev/full 2>full.note && fail "'$told' on a full disk is called a success"
    grep -q "cannot be written" full.note || fail "'$told' on a full disk: $(cat full.note)"
  done
fi

# An interrupt ends computing tables and solving at once, and a rollout with what is known; so does
# a terminal that is closed.
# stopped SIGNAL SECONDS COMMAND...: begun, left alone for so long, then sent the signal.
stopped() {
  local signal=$1 seconds=$2
  shift 2
  "$@" >stopped.out 2>/dev/null &
  local run=$!
  sleep "$seconds"
  kill -"$signal" $run
  local before=$SECONDS
  wait $run
  local status=$?
  [ $status -eq 130 ] || fail "'$*' after $signal: $status"
  [ $((SECONDS - before)) -le 5 ] || fail "'$*' goes on for $((SECONDS - before)) s"
}
stopped INT 1 "$tool" evaluate "${few[@]}" --race-points 10 --cache fresh
[ -s stopped.out ] && fail "an answer without its tables"
stopped TERM 1 "$tool" evaluate --position "24 23 / 24 23" --checkers 2
stopped HUP 2 "$tool" rollout --position "6x5 5x5 4x5 / 6x5 5x5 4x5" --dice 21 --half-width .00001 \
  --most-trials 100000000 --json
grep -q '"schema":"sixfold.rollout' stopped.out || fail "a closed terminal loses a rollout"

# What is shown is text: on terminals, on pages and in tables, whatever files are called.
odd=$'x\n```\n\e[2J\xff'
mkdir "$odd"
cp lesson.json "$odd/$odd.json"
"$tool" lesson "$odd/$odd.json" --trials 36 --half-width 0 --score money --out s.html --out s.md \
  --out s.csv --out "$odd/o.json" >odd.txt 2>&1 || fail "odd names of files: $(cat odd.txt)"
"$tool" lesson "$odd/none" >>odd.txt 2>&1
"$tool" evaluate "${few[@]}" --net "$odd/none" >>odd.txt 2>&1
cp net "$odd/$odd.safetensors"
"$tool" evaluate "${few[@]}" --net "$odd/$odd.safetensors" >>odd.txt 2>&1
"$tool" evaluate "${few[@]}" --net "$odd/$odd.safetensors" --csv >>odd.txt 2>&1
for file in odd.txt s.html s.md s.csv; do
  iconv -f UTF-8 -t UTF-8 $file >/dev/null 2>&1 || fail "$file is not UTF-8"
  LC_ALL=C tr -d '\r\n\t' <$file | LC_ALL=C grep -q '[[:cntrl:]]' && fail "control characters in $file"
done
[ "$(grep -c '^```' s.md)" = "$(($(grep -c '^```$' s.md)))" ] || fail "a fence is broken"
[ $(($(grep -c '^```' s.md) % 2)) -eq 0 ] || fail "fences of the Markdown do not pair"
command=$(grep "^sixfold lesson" s.md)
bash -c "printf '%s' ${command#sixfold lesson }" | grep -qF "o.json" ||
  fail "the command on the sheet is none: $command"
"$tool" evaluate "${few[@]}" --dice 21 --score $' 3-away/5-away\n' --csv >score.csv
[ "$(grep -c . score.csv)" = "$(grep -c ',3-away/5-away,\|^position' score.csv)" ] ||
  fail "a score's text breaks the table"
if command -v script >/dev/null; then
  TERM=dumb script -qec "'$tool' rollout --after '31: 8/5 6/5' --dice 64 --trials 720 --half-width 0" \
    dumb.txt >/dev/null 2>&1 </dev/null
  grep -q $'\e' dumb.txt && fail "escapes on a dumb terminal"
fi

[ "$failures" -eq 0 ] && echo "All checks of edges passed"
exit "$failures"
