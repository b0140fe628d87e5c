#!/usr/bin/env bash
# Positions for others to learn from, as their users get them. Run as: sample_test.sh <sixfold>
tool=$1
source "$(dirname "${BASH_SOURCE[0]}")/expect.sh"

sample() { "$tool" sample --quiet "$@" >/dev/null || fail "sample $* fails"; }

# Both forms, from the start and rolled out from a bear-off; the same bytes whatever the threads.
echo "6x2 5 4 3 2 1 / 6x2 5 4x2 2 1" >race.txt
for threads in 1 2; do
  for form in jsonl npy; do
    sample --out whole$threads.$form --positions 400 --explore .2 --threads $threads
    sample --out race$threads.$form --positions 60 --from race.txt --trials 36 --threads $threads
  done
done
for file in whole1.jsonl whole1.npy race1.jsonl race1.npy; do
  cmp -s $file ${file/1/2} || fail "$file depends on the number of threads"
done
[ "$(wc -l <whole1.jsonl)" -eq 400 ] || fail "another number of positions than was asked for"
grep -q standard_errors whole1.jsonl && fail "errors of what was not rolled out"
[ "$(grep -c standard_errors race1.jsonl)" -eq 60 ] || fail "rolled-out positions without errors"
sample --out other.jsonl --positions 400 --explore .2 --seed 2
cmp -s whole1.jsonl other.jsonl && fail "a sample does not depend on the seed"
sample --out ends.npy --positions 5000 --from race.txt

# A line of one form is a record of the other, as NumPy reads it; what is known exactly rolls out to
# itself; games end as often one way or the other as the distributions say.
cat >same.py <<'END'
import json
import sys

try:
    import numpy as np
except ImportError:
    sys.exit(77)

ENDS = ["lose_backgammon", "lose_gammon", "lose_single", "win_single", "win_gammon",
        "win_backgammon"]


def text(side):
    names = ["bar" if point == 25 else str(point) for point in range(26)]
    return " ".join(names[point] + (f"x{side[point]}" if side[point] > 1 else "")
                    for point in range(25, 0, -1) if side[point] > 0)


for name in ("whole1", "race1"):
    array = np.load(name + ".npy")
    with open(name + ".jsonl", encoding="utf-8") as file:
        lines = [json.loads(line) for line in file]
    assert array.shape == (len(lines),), array.shape
    assert (array["position"].sum(axis=2) == 15).all()
    assert np.allclose(array["outcomes"].sum(axis=1), 1)
    for record, line in zip(array, lines):
        assert text(record["position"][0]) + " / " + text(record["position"][1]) == \
            line["position"], line
        sixes = {"outcomes", "standard_errors"} & set(array.dtype.names)
        assert line.keys() == {"schema", "position", "end"} | sixes, line
        for field in sixes:
            assert record[field].tolist() == [line[field][end] for end in ENDS], line
        assert ENDS[record["end"]] == line["end"], line

rolled, static = np.load("race1.npy"), np.load("race_static.npy")
assert (rolled["position"] == static["position"]).all()
known = static["position"][:, :, 1:7].sum(axis=2).max(axis=1) <= 6
assert known.sum() > 10 and (~known).sum() > 10
assert (rolled["standard_errors"][known] < 1e-12).all()  # sums of the same are rounded
assert np.allclose(rolled["outcomes"][known], static["outcomes"][known], rtol=0, atol=1e-12)
off = np.abs(rolled["outcomes"] - static["outcomes"])[~known]
assert (off <= 6 * rolled["standard_errors"][~known] + .005).all(), off.max()

games = np.load("ends.npy")
games = games[(games["position"] == games["position"][0]).all(axis=(1, 2))]
assert len(games) > 300, len(games)
chance = games["outcomes"][0, 3:].sum()
won = (games["end"] >= 3).mean()
assert abs(won - chance) < 4 * (chance * (1 - chance) / len(games)) ** .5, (won, chance)
END
sample --out race_static.npy --positions 60 --from race.txt
python=/usr/bin/python3
[ -x $python ] || python=python3
$python same.py
case $? in
  0) ;;
  77) echo "NumPy is missing: its files are not read here" ;;
  *) fail "the two forms are not the same, or not true" ;;
esac

# What was written is where games may begin, here and in training.
sample --out again.jsonl --positions 20 --from race1.jsonl
[ "$(head -1 again.jsonl | cut -d, -f2)" = "$(head -1 race1.jsonl | cut -d, -f2)" ] ||
  fail "games begin elsewhere than at the sample's positions"
expect 0 "Wrote net.safetensors after 200 games" -- "$tool" train --recipe quick --games 200 \
  --from whole1.jsonl --out net.safetensors --quiet
(head -1 whole1.jsonl; echo '{"position":"26 / 1"}') >bad.jsonl
expect 1 "bad.jsonl, line 2, field position" -- \
  "$tool" train --from bad.jsonl --out new.safetensors
echo '{"position":"2 / 1","dice":"21"}' >bad.jsonl
expect 1 "bad.jsonl, line 1, field dice: unknown field" -- \
  "$tool" sample --from bad.jsonl --out new.jsonl
echo '{"position":" / 1"}' >bad.jsonl
expect 1 "bad.jsonl, line 1: the game is over" -- "$tool" sample --from bad.jsonl --out new.jsonl
expect 1 "whole1.npy" -- "$tool" sample --from whole1.npy --out new.jsonl
expect 1 "nowhere: cannot be read" -- "$tool" sample --from nowhere --out new.jsonl
expect 1 "--out new.csv: a file of an unknown kind; expected .jsonl or .npy" -- \
  "$tool" sample --out new.csv
expect 1 "race1.npy: is there already" -- "$tool" sample --out race1.npy
expect 0 "Wrote race1.npy: 5 positions" -- \
  "$tool" sample --out race1.npy --force --positions 5 --score gammon-go
sample --out small.jsonl --positions 20 --checkers 2
grep -q '"24 23 / 24 23"' small.jsonl || fail "a game of two checkers begins elsewhere"
expect 1 "nowhere" -- "$tool" sample --out nowhere/new.npy
expect 1 "nowhere" -- "$tool" sample --out new.npy --net nowhere
expect 1 "'nought'" "not a known score" -- "$tool" sample --out new.npy --score nought
expect 2 "--explore" -- "$tool" sample --out new.npy --explore 1.5
expect 2 "--positions" -- "$tool" sample --out new.npy --positions 0
expect 2 "--out" -- "$tool" sample

# A sample that is interrupted leaves nothing.
"$tool" sample --out stopped.jsonl --positions 1000000 --quiet >said &
sleep 0.7
kill -INT $! && wait $!
[ $? -eq 130 ] || fail "an interrupted sample does not say so"
grep -q "nothing was written" said || fail "an interrupted sample does not say what is left"
ls | grep -q stopped && fail "an interrupted sample leaves a file"
ls | grep -q '^new' && fail "a refused sample leaves a file"

[ "$failures" -eq 0 ] && echo "All checks of samples passed"
exit "$failures"
