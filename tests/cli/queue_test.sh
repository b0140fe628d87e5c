#!/usr/bin/env bash
# A night's queue where things go wrong: no room, no rights, two runners, bad input, entries that
# are removed, damage. Run as: queue_test.sh <sixfold>
tool=$(realpath "$1")
source "$(dirname "${BASH_SOURCE[0]}")/expect.sh"
small="$scratch/small"
trap 'mountpoint -q "$small" && umount "$small"; rm -rf "$scratch"' EXIT
chmod 755 "$scratch"

queue() { "$tool" queue "$@"; }
# What is known of a queue, but for the seconds that it took.
results() { queue results --quiet --db "$1" | sed 's/"seconds":[0-9.e+-]*/"seconds":0/g'; }
states() { queue list --db "$1" --json | sed 's/.*"state":"\([a-z]*\)".*/\1/' | tr '\n' ' '; }
# wait_until COMMAND...: it succeeds, within half a minute.
wait_until() {
  local i
  for ((i = 0; i < 300; ++i)); do
    "$@" >/dev/null 2>&1 && return 0
    sleep 0.1
  done
  fail "'$*' does not come true"
}
has_begun() { states "$1" | grep -q begun; }

cat >short.jsonl <<'REQUESTS'
{"id":1,"position":"8 6 5 / 24 6 5","dice":"21","plays":"8/5; 6/3","trials":36,"half_width":0.1}

{"id":2,"position":"6x2 5 3 / 24 6 5 4","trials":36,"half_width":0.2}
REQUESTS
cat >lesson.json <<'LESSON'
{"title":"Small","position":"6 5 / 24 5","rolls":["31"],"scores":["money"],"trials":36,"half_width":0.2}
LESSON
cat >long.json <<'LESSON'
{"title":"Long","position":"6x2 5 3 / 24 6 5 4","rolls":["31"],"scores":["money"],"half_width":0.0002,"most_trials":10000000}
LESSON

# Bad input: refused with the reason, and nothing is added.
expect 1 "nowhere.db: is not there" -- queue list --db nowhere.db
expect 1 "nowhere.db: is not there" -- queue run --db nowhere.db
expect 1 "nowhere.jsonl" "cannot be read" -- queue add --db new.db nowhere.jsonl
expect 1 "positions.txt" "neither a lesson nor requests" -- queue add --db new.db positions.txt
cp short.jsonl bad.jsonl
cat >>bad.jsonl <<'REQUESTS'
{"id":4,"position":"25x2 / 6","dice":"31"}
not json
{"id":6,"position":"6x2 / 6x2","dice":"31","colour":"red"}
REQUESTS
expect 1 "bad.jsonl line 4: position" "bad.jsonl line 5" "not JSON" "bad.jsonl line 6" \
  "unknown field" "3 of the requests" "nothing was added" -- queue add --db new.db short.jsonl bad.jsonl
echo '{"title":"Bad","position":"6x2 / 6x2","rolls":["71"]}' >bad.json
expect 1 "bad.json" "71" -- queue add --db new.db short.jsonl bad.json
expect 1 "requests" "is empty" -- queue add --db new.db -
[ -e new.db ] && fail "a queue is made though nothing is added"
expect 0 1 2 3 -- queue add --db ok.db short.jsonl lesson.json
for bad in '--until 25:00' '--until soon' '--until 2001-01-31T07:00' '--until 2031-02-29T07:00' \
  '--for 6' '--for -6h' '--for 0s' '--for soon'; do
  # shellcheck disable=SC2086
  expect 1 "${bad%% *}" "${bad##* }" -- queue run --db ok.db $bad
done
expect 1 "--until" "is no time" -- queue run --db ok.db --until ""
expect 1 "--for" "is no duration" -- queue run --db ok.db --for ""
expect 2 "--for" -- queue run --db ok.db --for 6h --until 07:00
expect 1 "no entry 9" "ok.db" -- queue results --db ok.db 9
expect 1 "no entry 9" -- queue remove --db ok.db 9
expect 1 "entry 1 has not failed" -- queue retry --db ok.db 1
expect 1 "no folder" -- queue backup --db ok.db --out nowhere/copy.db
[ "$(states ok.db)" = "waiting waiting waiting " ] || fail "bad input changes a queue: $(states ok.db)"

# What is put in comes out, and nothing lies beside the file.
expect 0 -- queue run --db ok.db --quiet
[ "$(states ok.db)" = "done done done " ] || fail "a run leaves $(states ok.db)"
results ok.db >ok.results
[ "$(wc -l <ok.results)" -eq 3 ] || fail "three entries have $(wc -l <ok.results) results"
[ "$(echo ok.db*)" = ok.db ] || fail "files are left: $(echo ok.db*)"
expect 1 "is there already" -- queue backup --db ok.db --out ok.results
expect 0 -- queue backup --db ok.db --out copy.db
cmp -s <(results copy.db) ok.results || fail "a copy holds other results"
# What was begun by one net, or with other tables, is not gone on with or told by another.
cp "$(dirname "$tool")/nets/standard.safetensors" other.safetensors
for command in run results; do
  expect 1 "was begun with net standard/" "this is other/" -- \
    queue "$command" --db copy.db --net other.safetensors --quiet
done
expect 1 "was begun with race points 6, and this is 7" -- \
  queue run --db copy.db --race-points 7 --quiet

# Many at once make and fill one queue.
for i in 1 2 3 4 5 6; do queue add --db many.db lesson.json >>many.ids 2>&1 & done
wait
[ "$(sort many.ids | tr '\n' ' ')" = "1 2 3 4 5 6 " ] || fail "added at once: $(cat many.ids)"

# Another program's database, a newer form, junk.
if command -v python3 >/dev/null; then
  sql() { python3 -c 'import sqlite3, sys; d = sqlite3.connect(sys.argv[1])
d.executescript(sys.argv[2]); d.close()' "$@"; }
  sql stamps.db 'CREATE TABLE stamp(country)'
  cp ok.db newer.db
  sql newer.db 'PRAGMA user_version = 99'
  for command in "list" "run" "results" "add short.jsonl"; do
    # shellcheck disable=SC2086
    set -- $command
    expect 1 "stamps.db" "another program" -- queue "$1" --db stamps.db "${@:2}"
    expect 1 "newer.db" "form 99" "newer Sixfold" -- queue "$1" --db newer.db "${@:2}"
    expect 1 "lesson.json" "no database" -- queue "$1" --db lesson.json "${@:2}"
  done

  # A damaged state fails its entry in a run, and is told in its place before.
  queue add --db damaged.db short.jsonl >/dev/null
  queue run --db damaged.db --quiet
  sql damaged.db "UPDATE rollout SET state = zeroblob(length(state)) WHERE entry = 1;
                  UPDATE part SET is_done = 0"
  expect 1 '"error":"entry 1: ' "another version" '"id":2' -- queue results --db damaged.db --quiet
  expect 1 "entry 1" "has failed" -- queue run --db damaged.db --quiet
  [ "$(states damaged.db)" = "failed done " ] || fail "damage leaves $(states damaged.db)"
  expect 0 -- queue retry --db damaged.db
  expect 0 -- queue run --db damaged.db --quiet
  cmp -s <(results damaged.db) <(head -n 2 ok.results) || fail "begun anew an entry has other results"
else
  echo "python3 is missing: damaged and other databases are not checked"
fi

# While one runs: a second is refused, whatever name leads to the file; all else works.
queue add --db busy.db long.json >/dev/null
ln -s busy.db link.db
"$tool" queue run --db busy.db --quiet 2>message &
runner=$!
wait_until has_begun busy.db
expect 1 "another process runs it" "busy.db" -- queue run --db busy.db
expect 1 "another process runs it" -- queue run --db link.db
expect 0 2 3 -- queue add --db busy.db --priority 1 short.jsonl
expect 0 "Long" -- queue list --db busy.db
expect 0 '"schema":"sixfold.lesson/3"' -- queue results --db busy.db --quiet 1
expect 0 -- queue backup --db busy.db --out busy.copy.db
results busy.copy.db >/dev/null || fail "a copy of a queue that runs can't be read"
kill -0 $runner || fail "looking on ends a run: $(cat message)"
# What is added meanwhile is played, before what has a lower priority; what is played is removed.
are_done() { [ "$(states busy.db)" = "begun done done " ]; }
wait_until are_done
expect 0 -- queue remove --db busy.db 1
wait $runner
status=$?
[ $status -eq 0 ] || fail "a run whose entry is removed exits with $status: $(cat message)"
[ "$(states busy.db)" = "done done " ] || fail "what is removed leaves $(states busy.db)"
cmp -s <(results busy.db) <(head -n 2 ok.results) || fail "what is added to a run has other results"
[ "$(echo busy.db*)" = busy.db ] || fail "a run leaves files: $(echo busy.db*)"

# A night ends when it is to, and when somebody says so, with what was played kept.
queue add --db night.db long.json >/dev/null
expect 0 -- queue run --db night.db --for 1s --quiet --log night.log
grep -q "time is up" night.log || fail "the log does not say why a night ends: $(cat night.log)"
[ "$(states night.db)" = "begun " ] || fail "a night leaves $(states night.db)"
"$tool" queue run --db night.db --quiet --log night.log &
runner=$!
plays_on() { tail -n 1 night.log | grep -q " entry "; }
wait_until plays_on
kill -TERM $runner
wait $runner
status=$?
[ $status -eq 130 ] || fail "a run that the system ends exits with $status"
tail -n 1 night.log | grep -q "what was played is kept" || fail "the log ends: $(tail -n 1 night.log)"

# Where nothing can be written to, a queue can be read, and is not run.
as_guest() { su nobody -s /bin/sh -c "\"\$@\"" -- sh env XDG_CACHE_HOME=/nonexistent "$tool" queue "$@"; }
if [ "$(id -u)" -eq 0 ] && su nobody -s /bin/sh -c "test -x '$tool'" 2>/dev/null; then
  mkdir locked
  cp ok.db locked/ok.db
  chmod 444 locked/ok.db
  chmod 555 locked
  expect 0 "Small" -- as_guest list --db "$scratch/locked/ok.db"
  expect 1 "can't be written to" -- as_guest run --db "$scratch/locked/ok.db"
  expect 1 "can't be written to" -- as_guest add --db "$scratch/locked/ok.db" "$scratch/short.jsonl"
  expect 1 "can't be opened" -- as_guest add --db "$scratch/locked/new.db" "$scratch/short.jsonl"
  expect 1 "can't be written to" -- as_guest remove --db "$scratch/locked/ok.db" 1
  [ "$(ls locked)" = ok.db ] || fail "a locked folder holds $(ls locked)"
else
  echo "no guest to try with: folders that can't be written to are not checked"
fi

# A full disk: what there is no room for is said, what was committed is kept, and in a larger place
# the run goes on to the same end.
fill_a_disk() {
  local size=$1
  mount -t tmpfs -o size="$size" none "$small" 2>/dev/null || return 1
  if queue add --db "$small/q.db" short.jsonl lesson.json >/dev/null 2>message; then
    queue run --db "$small/q.db" --quiet 2>message
  fi
  local status=$?
  if [ $status -ne 0 ]; then
    filled=$((filled + 1))
    [ $status -eq 1 ] && grep -q "there is no room left" message ||
      fail "a disk of $size ends in $status: $(cat message)"
  fi
  rm -f larger.db*
  cp "$small"/q.db* . 2>/dev/null
  umount "$small"
  if [ -e q.db ]; then
    for file in q.db*; do mv "$file" "larger.db${file#q.db}"; done
    [ -n "$(states larger.db 2>/dev/null)" ] || queue add --db larger.db short.jsonl lesson.json >/dev/null
    expect 0 -- queue run --db larger.db --quiet
    cmp -s <(results larger.db) ok.results || fail "after a full disk of $size results are others"
  fi
}
mkdir "$small"
filled=0
if fill_a_disk 64k; then
  for size in 96k 128k 160k 192k 256k; do fill_a_disk $size; done
  [ $filled -ge 3 ] || fail "only $filled disks were full"
else
  echo "mounting is not allowed: full disks are not checked"
fi

[ "$failures" -eq 0 ] && echo "All checks of the queue passed"
exit "$failures"
