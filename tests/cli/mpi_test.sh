#!/usr/bin/env bash
# Many processes answer as one does, for any number of them; one that dies ends the job, and the
# next run goes on. Run as: mpi_test.sh <sixfold> <sixfold-mpi>
tool=$1
program=$2
source "$(dirname "${BASH_SOURCE[0]}")/expect.sh"

by_ranks() {
  local ranks=$1
  shift
  mpirun --oversubscribe --allow-run-as-root --bind-to none -n "$ranks" "$program" "$@"
}
without_seconds() { sed -E 's/"seconds":[0-9.e+-]+/"seconds":_/g' "$1"; }
# same FOUND WANTED WHAT: equal and not empty.
same() {
  [ -s "$2" ] || fail "$3: there is nothing to compare with"
  diff <(without_seconds "$1") <(without_seconds "$2") >difference || {
    fail "$3 is not what one process gives"
    head -c 2000 difference
  }
}

cat >requests.jsonl <<'END'
{"after": "31: 8/5 6/5", "dice": "64", "trials": 36, "half_width": 0.08, "most_trials": 180}
{"position": "6x4 5x3 4x2 / 6x3 5x3 4x2", "score": "money,3-away/5-away", "half_width": 0.04}
{"id": "few", "position": "6 5 / 4 3", "checkers": 2, "dice": "21"}
END
cat >lesson.json <<'END'
{"title": "Small", "position": "6x2 5 / 4x2 3", "rolls": ["21", "43"], "scores": ["money", "dmp"],
 "trials": 36, "half_width": 0.05, "flip": ["21"], "flip_trials": 36}
END
"$tool" queue add --db new.db requests.jsonl lesson.json >ids || fail "queue add"
cp new.db tool.db
"$tool" queue run --db tool.db --threads 2 || fail "queue run"
"$tool" queue results --db tool.db >wanted.jsonl
"$tool" queue list --db tool.db --json >list_wanted.jsonl
grep -q '"schema":"sixfold.lesson' wanted.jsonl || fail "the lesson has no result"
rollout=(rollout --position "24 13x3 8x3 6x5 5x3 / 24x2 13x4 8x3 6x4 4x2" --dice 52
  --score money,dmp --cube centred --trials 36 --half-width 0.08 --most-trials 180 --json)
"$tool" "${rollout[@]}" --threads 2 >rollout_wanted.jsonl || fail "rollout"

for ranks in 1 2 3 8; do
  cp new.db shared.db
  by_ranks "$ranks" queue run --db shared.db --threads $((ranks % 2 + 1)) >out 2>&1 ||
    fail "queue run by $ranks ranks: $(cat out)"
  [ ! -s out ] || fail "queue run by $ranks ranks prints $(cat out)"
  "$tool" queue results --db shared.db >found.jsonl
  same found.jsonl wanted.jsonl "the queue by $ranks ranks"
  "$tool" queue list --db shared.db --json >found.jsonl
  same found.jsonl list_wanted.jsonl "the list of the queue by $ranks ranks"
done
for ranks in 1 3; do
  by_ranks "$ranks" "${rollout[@]}" --threads 1 >found.jsonl 2>err ||
    fail "rollout by $ranks ranks: $(cat err)"
  same found.jsonl rollout_wanted.jsonl "a rollout by $ranks ranks"
done
# The net of an opponent goes round as well.
"$tool" train --recipe quick --games 200 --quiet --out weak.safetensors >/dev/null || fail "train"
against=("${rollout[@]}" --opponent-net weak.safetensors)
"$tool" "${against[@]}" --threads 2 >against_wanted.jsonl || fail "rollout against an opponent"
cmp -s <(without_seconds against_wanted.jsonl) <(without_seconds rollout_wanted.jsonl) &&
  fail "an opponent changes nothing"
by_ranks 3 "${against[@]}" --threads 1 >found.jsonl 2>err || fail "against an opponent: $(cat err)"
same found.jsonl against_wanted.jsonl "a rollout against an opponent by 3 ranks"

# Bad input is told once, by rank 0.
by_ranks 3 rollout --position "6x20 / 1" --dice 21 >out 2>err
[ $? -eq 1 ] || fail "a bad position does not end with exit code 1"
[ "$(grep -c '^sixfold-mpi: ' err)" -eq 1 ] || fail "a bad position is told as: $(cat err)"
by_ranks 2 queue run --db nowhere.db >out 2>err
[ $? -eq 1 ] || fail "a queue that is not there does not end with exit code 1"
by_ranks 2 rollout --no-such-option >out 2>err
[ $? -eq 2 ] || fail "wrong use does not end with exit code 2"

# A rank of another version is refused by name.
version=$("$tool" --version)
version=${version#sixfold }
sed "s/${version//./\\.}/9.9.9/g" "$program" >other-mpi
chmod +x other-mpi
mpirun --oversubscribe --allow-run-as-root --bind-to none -n 2 "$program" "${rollout[@]}" \
  : -n 1 ./other-mpi >out 2>err
[ $? -eq 1 ] || fail "a rank of another version does not end the job with exit code 1"
grep -q "rank 2 on .* has version 9.9.9; expected version $version" err ||
  fail "a rank of another version is not refused by name: $(cat err)"

# A rank that dies takes the job with it. What was played is kept.
for seed in 1 2 3; do
  printf '{"after": "52: 24/22 13/8", "dice": "63", "plays": "24/15; 24/18 13/10; 13/4", '
  printf '"trials": 36, "half_width": 0.01, "most_trials": 720, "seed": %d}\n' "$seed"
done >long.jsonl
"$tool" queue add --db long.db long.jsonl >ids
cp long.db whole.db
"$tool" queue run --db whole.db --threads 2 || fail "queue run of the long ones"
"$tool" queue results --db whole.db >wanted.jsonl
mpirun --oversubscribe --allow-run-as-root --bind-to none -n 3 "$program" \
  queue run --db long.db --threads 1 >out 2>err &
job=$!
for _ in $(seq 300); do
  "$tool" queue list --db long.db --json | grep -q '"state":"begun"' && break
  sleep 0.1
done
victim=
for process in $(pgrep -P "$job"); do
  tr '\0' '\n' <"/proc/$process/environ" | grep -qx OMPI_COMM_WORLD_RANK=1 && victim=$process
done
if [ -z "$victim" ]; then
  fail "there is no rank 1 to kill"
else
  kill -9 "$victim"
fi
wait "$job"
[ $? -ne 0 ] || fail "a job whose rank was killed ends as if nothing had happened"
grep -q "rank 1 .*signal 9" err || fail "who died is not told: $(cat err)"
"$tool" queue list --db long.db --json >list || fail "the queue can't be read after the kill"
! grep -q '"state":"failed"' list || fail "an entry has failed since a rank was killed: $(cat list)"
grep -qE '"state":"(begun|waiting)"' list || fail "all was done before a rank was killed"
by_ranks 2 queue run --db long.db --threads 1 >out 2>&1 || fail "the next run: $(cat out)"
"$tool" queue results --db long.db >found.jsonl
same found.jsonl wanted.jsonl "the queue that was gone on with"

[ "$failures" -eq 0 ] && echo "all as it should be"
exit "$((failures > 0))"
