#!/usr/bin/env bash
# Rollouts against an opponent who plays by a net of his own. Run as:
# opponent_test.sh <sixfold> <nets>
tool=$1
nets=$2
source "$(dirname "${BASH_SOURCE[0]}")/expect.sh"

"$tool" train --recipe quick --games 200 --quiet --out weak.safetensors >/dev/null || fail "train"
roll=(--after "31: 8/5 6/5" --dice 64)
few=(--trials 36 --half-width 0 --quiet)
plays=(rollout "${roll[@]}" --plays "24/14; 8/2 6/2" "${few[@]}")
double=(cube --after "31: 8/5 6/5, 61: 13/7 8/7" "${few[@]}")
lesson=(lesson "${roll[@]}" --score money,dmp "${few[@]}")
against=(--opponent-net weak.safetensors)
# Answers without what says who played, and how long.
bare() { sed -E 's/"(seconds|opponent_net)":("[^"]*"|[0-9.e+-]+),?//g'; }

net=$("$tool" "${plays[@]}" "${against[@]}" --json | grep -o '"opponent_net":"weak/[0-9a-f]*"' |
  cut -d'"' -f4)
[ -n "$net" ] || fail "JSON does not name the opponent's net"

# Every form says against whom.
for command in plays double lesson; do
  declare -n its=$command
  expect 0 "Against this opponent: the side that is not on roll plays, doubles and" "net $net" -- \
    "$tool" "${its[@]}" "${against[@]}"
  "$tool" "${its[@]}" "${against[@]}" --json | grep -qF "\"opponent_net\":\"$net\"" ||
    fail "$command: no opponent in JSON"
  "$tool" "${its[@]}" "${against[@]}" --csv | cut -d, -f1-9 >csv
  [ "$(grep -c "$net" csv)" -eq "$(($(wc -l <csv) - 1))" ] || fail "$command: CSV: $(cat csv)"
  # The same net as an opponent is none; another one is.
  "$tool" "${its[@]}" --json | bare >alone
  "$tool" "${its[@]}" --json --opponent-net "$nets/standard.safetensors" | bare >same
  cmp -s alone same || fail "$command: the same net as an opponent changes the answer"
  "$tool" "${its[@]}" --json "${against[@]}" | bare >other
  cmp -s alone other && fail "$command: another net changes nothing"
  "$tool" "${its[@]}" --json "${against[@]}" --threads 3 | bare | cmp -s - other ||
    fail "$command: threads change the answer"
  "$tool" "${its[@]}" --json | grep -q opponent_net && fail "$command: an opponent where none is"
done
"$tool" "${lesson[@]}" "${against[@]}" --out sheet.html --out sheet.md >/dev/null || fail "sheets"
grep -qF "<p class=\"opponent\">Against this opponent" sheet.html || fail "the page's head"
grep -qF "Against this opponent" sheet.md || fail "the head of Markdown"
[ "$(grep -cF "the opponent by net $net" sheet.html sheet.md | grep -c ':1$')" -eq 2 ] ||
  fail "the foot of sheets"

# A doubling decision is rolled out where an opponent is named; one that is known has none.
small=(cube --position "6x3 5x3 4x2 / 24 6x3 5x3" --json)
expect 0 '"method":"rollout"' '"opponent_net":"weak/' -- \
  "$tool" "${small[@]}" --half-width 1 "${against[@]}"
expect 0 '"method":"rollout"' -- "$tool" "${small[@]}" "${against[@]}"
expect 0 '"method":"exact"' -- "$tool" cube --position "6 5 / 6 5" --json "${against[@]}"
"$tool" cube --position "6 5 / 6 5" --json "${against[@]}" | grep -q opponent_net &&
  fail "an opponent of an exact double"

# Requests are answered against him too, and can't name another: no file is theirs to choose.
echo '{"after": "31: 8/5 6/5", "dice": "64", "plays": ["24/14", "8/2 6/2"]}' >requests.jsonl
"$tool" rollout --requests requests.jsonl "${few[@]}" "${against[@]}" | grep -q "$net" ||
  fail "requests are not answered against the opponent"
echo '{"after": "31: 8/5 6/5", "dice": "64", "opponent_net": "weak.safetensors"}' >named.jsonl
expect 1 "opponent_net" -- "$tool" rollout --requests named.jsonl "${few[@]}"
echo '{"after": "31: 8/5 6/5", "rolls": ["64"], "opponent_net": "weak.safetensors"}' >named.json
expect 1 "opponent_net" -- "$tool" lesson named.json

# Luck is read from the net's own networks: the opponent needs none. Bad input.
expect 0 "Against this opponent" -- "$tool" "${plays[@]}" "${against[@]}" --luck net
expect 1 "has no luck networks" -- "$tool" "${plays[@]}" --net weak.safetensors --luck net \
  --opponent-net "$nets/standard.safetensors"
expect 1 "missing.safetensors" -- "$tool" "${plays[@]}" --opponent-net missing.safetensors
head -c 5000 weak.safetensors >damaged.safetensors
expect 1 "damaged.safetensors" -- "$tool" "${plays[@]}" --opponent-net damaged.safetensors
for command in "evaluate --after" "flip --dice 64 --after" "queue add --db n.db --after"; do
  # shellcheck disable=SC2086
  expect 2 "--opponent-net" -- "$tool" $command "31: 8/5 6/5" "${against[@]}"
done

[ "$failures" -eq 0 ] && echo "All checks of opponents passed"
exit "$failures"
