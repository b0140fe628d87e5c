#!/usr/bin/env bash
# Training as its users meet it. Run as: train_test.sh <sixfold>
tool=$1
source "$(dirname "${BASH_SOURCE[0]}")/expect.sh"

start="24x2 13x5 8x3 6x5 / 24x2 13x5 8x3 6x5"

# Training that is interrupted, or killed, and resumed ends in the same bytes.
train() { "$tool" train --recipe quick --games 8000 --quiet "$@" >/dev/null; }
train --out whole.safetensors || fail "training fails"
expect 1 "whole.safetensors: is there already" -- \
  "$tool" train --recipe quick --games 8000 --out whole.safetensors
mv whole.safetensors aside
expect 1 "whole.curve.csv: is there already" -- \
  "$tool" train --recipe quick --games 8000 --out whole.safetensors
mv aside whole.safetensors
grep -q '^8000,' whole.curve.csv || fail "the learning curve does not reach the last game"
grep -q '</svg>' whole.curve.svg || fail "there is no picture of the learning curve"
"$tool" train --recipe quick --games 8000 --quiet --out part.safetensors >/dev/null &
sleep 0.7
kill -INT $! && wait $!
status=$?
[ $status -eq 130 ] || fail "interrupted training exits with $status"
[ -e part.safetensors.checkpoint ] || fail "an interrupted run leaves no checkpoint"
"$tool" train --recipe quick --games 8000 --quiet --out part.safetensors --resume --threads 1 \
  >/dev/null &
sleep 0.5
kill -KILL $! && wait $! 2>/dev/null; true
expect 1 "holds another run: 2 networks" -- \
  "$tool" train --recipe quick --games 8000 --split 3 --out part.safetensors --resume
train --out part.safetensors --resume || fail "training cannot be resumed"
cmp -s whole.safetensors part.safetensors || fail "a resumed run ends in another net"
cmp -s whole.curve.csv part.curve.csv || fail "a resumed run has another learning curve"
ls | grep -q checkpoint && fail "a finished run leaves its checkpoint"

# Luck networks: trained for a net, stopped and resumed, used by name, missed where there are none.
luck() { "$tool" train --luck-for whole.safetensors --recipe quick --games 2500 --quiet "$@" >/dev/null; }
luck --out luck.safetensors || fail "luck networks cannot be trained"
"$tool" train --luck-for whole.safetensors --recipe quick --games 2500 --quiet \
  --out stopped.safetensors >/dev/null &
sleep 1.2
kill -INT $! && wait $!
[ $? -eq 130 ] || fail "interrupted training of luck networks does not say so"
luck --out stopped.safetensors --resume --threads 1 || fail "it cannot be resumed"
cmp -s luck.safetensors stopped.safetensors || fail "resumed luck networks are others"
short=(--position "6x2 5 / 4x2 3" --dice 21 --trials 36 --half-width 0)
expect 0 "equity ±" -- "$tool" rollout "${short[@]}" --net luck.safetensors --luck net
expect 0 "equity ±" -- "$tool" rollout "${short[@]}" --net whole.safetensors
expect 0 "equity ±" -- "$tool" rollout "${short[@]}" --luck full
expect 1 "whole" "no luck networks" -- "$tool" rollout "${short[@]}" --net whole.safetensors --luck net
expect 2 "luck" -- "$tool" rollout "${short[@]}" --luck bad
expect 0 '"stratified":true' -- "$tool" rollout "${short[@]}" --json
expect 0 '"stratified":false' '"plain":false' -- "$tool" rollout "${short[@]}" --free-dice --json
expect 1 "nowhere" -- "$tool" train --luck-for nowhere --out new.safetensors
expect 1 "nowhere" -- "$tool" train --luck-by nowhere --out new.safetensors
expect 1 "nowhere" -- "$tool" train --recipe refine --start nowhere --out new.safetensors
expect 1 "starts from a network" -- "$tool" train --recipe refine --out new.safetensors
expect 1 "starts from a network" -- \
  "$tool" train --recipe quick --start whole.safetensors --out new.safetensors
expect 1 "is for 15 checkers" -- "$tool" train --recipe refine --start whole.safetensors --checkers 3 \
  --out new.safetensors
expect 0 "Wrote" -- "$tool" train --recipe refine --start whole.safetensors --games 200 \
  --out refined.safetensors
expect 0 "Wrote" -- "$tool" train --recipe refine --start whole.safetensors --games 200 --split 3 \
  --width 64 --out split.safetensors
expect 0 "8/5 6/5" -- "$tool" evaluate --position "$start" --dice 31 --net split.safetensors
expect 1 "split" "no --luck-for beside it" -- \
  "$tool" train --luck-for split.safetensors --split 5 --out new.safetensors
expect 1 "4 networks for contact" "3 or 5" -- "$tool" train --split 4 --out new.safetensors
expect 1 "1024 hidden units" "at most" -- "$tool" train --recipe refine --start whole.safetensors \
  --width 1024 --out new.safetensors
expect 1 "'nought'" "not a known score" -- "$tool" train --score nought --out new.safetensors
expect 1 "no luck networks" -- "$tool" train --luck-by whole.safetensors --out new.safetensors
cp luck.safetensors new.safetensors.checkpoint
expect 1 "not a training checkpoint" -- \
  "$tool" train --luck-for whole.safetensors --recipe quick --out new.safetensors --resume

# Heads for the cube: the same, and what does not go with them.
cube() { "$tool" train --cube-for luck.safetensors --recipe quick --games 1100 --quiet "$@" >/dev/null; }
cube --out cube.safetensors || fail "heads for the cube cannot be trained"
cube --out again.safetensors --threads 1 || fail "heads for the cube cannot be trained by one thread"
cmp -s cube.safetensors again.safetensors || fail "heads for the cube depend on the threads"
cmp -s cube.safetensors luck.safetensors && fail "a net is the same with heads for the cube"
expect 0 "24/14" -- "$tool" evaluate --after "31: 8/5 6/5" --dice 64 --net cube.safetensors
expect 1 "nowhere" -- "$tool" train --cube-for nowhere --out new.safetensors
expect 1 "--score" "heads for the cube learn from games for money" "no --cube-for beside it" -- \
  "$tool" train --cube-for luck.safetensors --score dmp --out new.safetensors
expect 1 "one after the other" -- \
  "$tool" train --cube-for luck.safetensors --luck-for luck.safetensors --out new.safetensors

[ "$failures" -eq 0 ] && echo "All checks of training passed"
exit "$failures"
