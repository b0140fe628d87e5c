#!/usr/bin/env bash
# The command line as its users meet it. Run as: cli_test.sh <sixfold> <nets directory>
tool=$1
nets=$2
source "$(dirname "${BASH_SOURCE[0]}")/expect.sh"

start="24x2 13x5 8x3 6x5 / 24x2 13x5 8x3 6x5"

# Good input.
expect 0 "8/5 6/5" "Static values" -- "$tool" evaluate --position "$start" --dice 31
expect 0 "before the dice" -- "$tool" evaluate --position "$start"
expect 0 '"schema":"sixfold.evaluation/3"' '"lose_backgammon"' '"method":"network"' \
  '"match_winning_chance"' -- "$tool" evaluate --position "$start" --dice 31 --score dmp --json
expect 0 '"method":"exact"' '"equity":-1.0' -- "$tool" evaluate --position "6x2 / " --json
expect 0 '"position":"24x2 13x5 8x2 6x4 5x2 / 24 14 13x5 8x3 6x5"' -- \
  "$tool" evaluate --after "31: 8/5 6/5, 64: 24/14" --json
expect 0 '"play":"no play"' '"result":"6x2 3x2 / bar"' -- \
  "$tool" evaluate --position "bar / 6x2 3x2" --dice 63 --checkers 4 --json
expect 0 '"schema":"sixfold.rollout/3"' '"best_probability"' '"verdict":"best"' '"seed":5' \
  '"half_width"' -- "$tool" rollout --position "6x2 5 / 4x2 3" --dice 21 --trials 36 --half-width 0 --seed 5 --json
expect 0 "money" "dmp" "gammon-save" "± is the half-width" -- \
  "$tool" lesson --position "6x2 5 / 4x2 3" --dice 21,43 --trials 36 --half-width 0
expect 0 "points a game" -- "$tool" duel "$nets/standard.safetensors" "$nets/standard.safetensors" \
  --pairs 16

expect 0 '"ledger":[{"name":"won","change"' -- \
  "$tool" rollout --position "6x2 5 / 4x2 3" --dice 21 --trials 36 --half-width 0 --ledger --json
expect 0 "games in 100" "worth each" -- \
  "$tool" rollout --position "6x2 5 / 4x2 3" --dice 21 --trials 36 --half-width 0

expect 0 "opponent's gammon price" "gammon-save" "rolled out there" -- \
  "$tool" flip --position "6x2 5 / 4x2 3" --dice 21 --trials 36 --half-width 0
expect 0 '"schema":"sixfold.flip/2"' '"break_even"' '"9-away/9-away"' -- \
  "$tool" flip --position "6x2 5 / 4x2 3" --dice 21 --trials 36 --half-width 0 --json
expect 1 "plane holds all scores" -- "$tool" flip --position "$start" --dice 31 --score dmp
expect 1 "same trials" -- "$tool" flip --position "$start" --dice 31 --half-width 0.02
expect 1 "no choice" -- "$tool" flip --position "bar / 6x2 3x2" --dice 63 --checkers 4

# Facts of plays.
expect 0 "home points      6               6 5 *" "prime            -               2 from 6 *" -- \
  "$tool" evaluate --position "$start" --dice 31 --facts
expect 0 '"shots":{"any":0,"two":0}' '"made":[5]' '"roller":{"pips":167' -- \
  "$tool" evaluate --position "$start" --dice 31 --facts --json
expect 0 "anchors          24" -- "$tool" evaluate --position "$start" --facts

# The cube and the match.
expect 0 "Right: double, he takes." "Exact equities" -- "$tool" cube --position "5 2 / 4 1"
expect 0 '"no_double":0.23919753' '"owner":"roller"' '"value":2' -- \
  "$tool" cube --position "5 2 / 4 1" --cube roller:2 --json
expect 0 '"method":"model"' '"score":"3-away/5-away"' -- \
  "$tool" cube --after "31: 8/5 6/5" --score 3-away/5-away --json
expect 0 '"match_winning_chance"' -- "$tool" evaluate --position "$start" --score 3-away/5-away --json
expect 0 "Crawford game" -- "$tool" equities
# What a command would ignore is refused.
expect 1 "--json" "--csv, or --score too" -- "$tool" equities --json
expect 1 "--csv" "not told as CSV" -- "$tool" equities --csv --score money
expect 2 "--error" -- "$tool" flip --position "6x2 5 / 4x2 3" --dice 21 --error 0.1
expect 2 "--error" -- "$tool" cube --position "5 2 / 4 1" --error 0.1
expect 1 "'--half-width 0' has no limit to reach" -- \
  "$tool" rollout --position "6x2 5 / 4x2 3" --dice 21 --half-width 0 --most-trials 72
expect 1 "plain trials leave the luck in" -- "$tool" rollout --position "6x2 5 / 4x2 3" --dice 21 --plain --luck full
expect 0 "gammon price" "none" -- "$tool" equities --score 3-away/5-away
expect 1 "0-away is not in the table" -- "$tool" cube --position "$start" --score 0-away/3-away
expect 1 "nobody is 1 away" -- "$tool" cube --position "$start" --score "3-away/5-away crawford"
expect 1 "Crawford" -- "$tool" cube --position "$start" --score gammon-go --cube roller:2
expect 1 "beyond the match" -- "$tool" cube --position "$start" --score 3-away/3-away --cube opponent:8
"$tool" equities --csv >table.csv
expect 0 "money" -- "$tool" equities --equities table.csv --score money
printf 'away,1,2\n1,.5,.7\n2,.4,.5\n' >table.csv
expect 1 "table.csv, line 2" "add up to 1" -- "$tool" cube --position "$start" --equities table.csv
cat >five.csv <<TABLE
away,1,2,3,4,5
1,.5,.667,.75,.8,.833
2,.333,.5,.6,.667,.714
3,.25,.4,.5,.571,.625
4,.2,.333,.429,.5,.556
5,.167,.286,.375,.444,.5
TABLE
# At 3-away/5-away a gammon won is worth (.833 - .714) / (.714 - .571), one lost .071 / .143.
small_flip=(flip --position "6x2 5 / 4x2 3" --dice 21 --trials 36 --half-width 0)
"$tool" "${small_flip[@]}" --equities five.csv --json >plane || fail "flip refuses a good table"
grep -q '"prices":{"roller":0.8321[0-9]*,"opponent":0.4965[0-9]*},[^{}]*{[^{}]*},"score":"3-away/5-away"' \
  plane || fail "flip does not place scores by the table of --equities"
grep -q '6-away' plane && fail "flip has scores beyond the table"
expect 1 "nowhere.csv" -- "$tool" "${small_flip[@]}" --equities nowhere.csv
# A table that can be read but once, as a pipe can, is enough for all that a run does.
printf '{"position":"%s","score":"3-away/5-away"}\n' "$start" "$start" >twice
"$tool" evaluate --requests twice --equities <(cat five.csv) >answers
[ "$(grep -c '"score":"3-away/5-away"' answers)" -eq 2 ] || fail "a table is read again: $(cat answers)"
expect 1 "nowhere.csv" -- "$tool" evaluate --requests twice --equities nowhere.csv
echo '{"id":1,"position":"5 2 / 4 1","cube":"roller:2"}' >cubes
expect 0 '"owner":"roller"' -- "$tool" cube --requests cubes
echo '{"id":1,"position":"5 2 / 4 1","cube":"centred","jacoby":true,"beavers":true}' >rules
expect 0 '"jacoby":true,"beavers":true' -- "$tool" cube --requests rules
expect 1 "which is left out" "1 of 1 request has no answer" -- \
  "$tool" evaluate --requests <(echo '{"position":"5 2 / 4 1","cube":"none","jacoby":true}')
expect 0 '"jacoby":true' '"equity":0.11111' '"cubeless_equity":0.23799' '"equity_method":"exact"' -- \
  "$tool" evaluate --requests <(echo '{"position":"5 2 / 4 1","jacoby":true}')
expect 1 "field beavers: neither yes nor no" -- \
  "$tool" cube --requests <(echo '{"position":"5 2 / 4 1","beavers":1}')

# Sheets.
echo '{"position":"6x2 5 / 4x2 3","rolls":["21"],"scores":["money"],"trials":36,"half_width":0}' >small.json
expect 0 "Written: sheet.html" "Written: sheet.csv" -- \
  "$tool" lesson small.json --out sheet.html --out sheet.csv --out sheet.md --diagram board.svg
expect 0 "Roll 21" -- "$tool" lesson small.json --equities <(cat five.csv)
for file in sheet.html sheet.csv sheet.md board.svg; do
  [ -s "$file" ] || fail "lesson --out leaves no $file"
done
grep -qF "sixfold lesson small.json --out sheet.html" sheet.html || fail "no command in the sheet"
expect 0 '"schema":"sixfold.lesson/3"' -- "$tool" lesson small.json --json --out sheet.json
# Finished work is written over by force only, and that is said before any work.
expect 1 "is there already" "--force to write over it" -- "$tool" lesson small.json --out sheet.json
expect 1 "is there already" -- "$tool" lesson small.json --diagram board.svg
expect 0 "Written: sheet.json" -- "$tool" lesson small.json --out sheet.json --force
diff <(sed 's/"seconds":[0-9.e-]*//g' sheet.json) \
  <("$tool" lesson small.json --json | sed 's/"seconds":[0-9.e-]*//g') >/dev/null ||
  fail "sheet.json is not what --json prints"
expect 1 "there is no folder 'nowhere'" -- "$tool" lesson small.json --out nowhere/sheet.html
expect 1 "'.pdf' is no kind of sheet" ".html, .md, .csv or .json" -- \
  "$tool" lesson small.json --out sheet.pdf
expect 1 "a file of its own" -- "$tool" lesson small.json --out twice.md --out ./twice.md
expect 1 "a file of its own" -- "$tool" lesson small.json --out small.json
expect 1 "beyond what can be read" -- \
  "$tool" lesson <(echo '{"position":"6x2 5 / 4x2 3","rolls":["21"],"half_width":1e999}')
expect 0 '"scores":["dmp"]' '"seed":99' '"trials":72' -- \
  "$tool" lesson small.json --trials 72 --seed 99 --score dmp --json
"$tool" lesson - --json <small.json | sed 's/"seconds":[0-9.e-]*//g' >from_input
diff from_input <("$tool" lesson small.json --json | sed 's/"seconds":[0-9.e-]*//g') >/dev/null ||
  fail "a lesson from standard input is another"
"$tool" lesson small.json --csv >csv || fail "a lesson gives no CSV"
cmp -s csv sheet.csv || fail "lesson --csv prints no sheet.csv"
printf '{"position":"6x2 5 / 4x2 3",\n "rolls" ["21"]}' >broken.json
expect 1 "lesson broken.json: not JSON at line 2, column 10" -- "$tool" lesson broken.json
expect 1 "one or the other" -- "$tool" lesson small.json --checkers 15
expect 0 '"grade":"blunder"' -- \
  "$tool" lesson small.json --json --cube none --error 1e-6 --blunder 2e-6
"$tool" lesson small.json --out kept.html >/dev/full 2>/dev/null && fail "a full disk goes unsaid"
[ -s kept.html ] || fail "a sheet is lost when the report can't be printed"
expect 1 "no page to fold answers in" -- "$tool" lesson small.json --quiz --out folded.md
expect 1 "there is no folder" -- "$tool" lesson small.json --diagram nowhere/board.svg
expect 0 "Static values" -- "$tool" evaluate --position "$start" --dice 31 --diagram roll.svg
grep -qF "Roll 31." roll.svg || fail "the picture has no roll"
expect 1 "it without --requests" -- "$tool" evaluate --requests small.json --diagram roll.svg
expect 0 "Shares of all games by points" "luck-adjusted trials to the end" -- \
  "$tool" cube --position "$start" --trials 36 --half-width 0
expect 0 '"method":"rollout"' '"opponents_pass"' '"difference"' -- \
  "$tool" cube --position "$start" --trials 36 --half-width 0 --json
expect 0 "cut after 4 plies" -- "$tool" cube --position "$start" --trials 36 --half-width 0 --truncate 4
expect 1 "beyond the match" -- "$tool" lesson --position "$start" --dice 31 --cube roller:2
expect 0 "Cube      centred" "the cube is turned" "the cube  " "by points" -- \
  "$tool" rollout --position "$start" --dice 31 --trials 36 --half-width 0 --cube centred
expect 0 '"cubeless_equity"' '"ends"' '"points"' '"cube":{"value":2,"owner":"opponent"}' -- \
  "$tool" rollout --position "$start" --dice 31 --trials 36 --half-width 0 --cube opponent:2 --json
expect 1 "Crawford" -- \
  "$tool" rollout --position "$start" --dice 31 --cube roller:2 --score gammon-go
expect 1 "Jacoby" "which is left out" -- \
  "$tool" rollout --position "$start" --dice 31 --jacoby --cube none
expect 1 "belong to money play" -- "$tool" rollout --position "$start" --dice 31 --jacoby --score dmp

# Left out of the question, the cube is in the middle where somebody may double.
small=(--position "6x2 5 / 4x2 3" --dice 21)
expect 0 "Cube      centred" "cubeless" "with the cube" -- "$tool" evaluate "${small[@]}"
expect 0 "Cube      left out" -- "$tool" evaluate "${small[@]}" --cube none
expect 0 "Cube      none: nobody may double" -- "$tool" evaluate "${small[@]}" --score dmp
expect 0 '"value":2,"owner":"opponent"' -- "$tool" evaluate "${small[@]}" --cube opponent:2 --json
expect 1 "beyond the match" -- "$tool" evaluate "${small[@]}" --cube roller:2 --score dmp
expect 0 '"play":"4/off"' -- "$tool" evaluate --position "5 4 3x2 / 6 5 1" --dice 31 --cube none --json
best() { "$tool" evaluate --position "5 4 3x2 / 6 5 1" --dice 31 --json "$@" |
  sed 's/.*"rank":1,"play":"\([^"]*\)".*/\1/'; }
[ "$(best)" = "3/off 3/2" ] || fail "with the cube $(best) is best"
[ "$(best --cube none)" = "4/off" ] || fail "without the cube $(best --cube none) is best"
short=("${small[@]}" --trials 36 --half-width 0)
expect 0 '"cube":{"value":1,"owner":"centred"}' '"cubeless_equity"' -- "$tool" rollout "${short[@]}" --json
expect 0 '"cube":"none"' '"cubeless_equity"' -- "$tool" rollout "${short[@]}" --score gammon-go --json
"$tool" rollout "${short[@]}" --csv | head -1 | grep -q ",equity,equity_half_width,cubeless_equity," ||
  fail "CSV has no cubeless equity"
expect 0 "Cube      centred; none at dmp, where nobody may double" "Cubeless equity at money: " -- \
  "$tool" lesson "${short[@]}" --score money,dmp
"$tool" lesson "${short[@]}" --score dmp,money --json >both || fail "a lesson with a dead cube fails"
[ "$(grep -o '"cube":"none"' both | wc -l)" -eq 1 ] || fail "cubes of a lesson: $(cat both)"
expect 0 "Cube      left out" -- "$tool" lesson "${short[@]}" --score money,dmp --cube none
expect 1 "leaves the cube out" -- "$tool" flip "${small[@]}" --trials 36 --cube centred
expect 0 '"cube":"none"' -- "$tool" flip "${small[@]}" --trials 36 --cube none --json
printf '%s\n' '{"position":"6x2 5 / 4x2 3","dice":"21","score":"money,dmp","trials":36,"half_width":0}' \
  '{"position":"6x2 5 / 4x2 3","dice":"21","cube":"none","trials":36,"half_width":0}' >asked.jsonl
"$tool" queue add --db asked.db asked.jsonl >/dev/null && "$tool" queue run --db asked.db --quiet ||
  fail "requests without a word of the cube can't be queued"
[ "$("$tool" queue results --db asked.db --quiet | grep -o '"score":"[a-z]*","cube":[^,}]*' |
  tr '\n' ' ')" = \
  '"score":"money","cube":{"value":1 "score":"dmp","cube":"none" "score":"money","cube":"none" ' ] || fail "a queue asks for other cubes"

# The same result at every thread count.
for threads in 1 2 7; do
  "$tool" rollout --position "$start" --dice 31 --trials 36 --half-width 0 --threads $threads --json |
    sed 's/"seconds":.*//' >"threads_$threads"
done
cmp -s threads_1 threads_2 && cmp -s threads_1 threads_7 || fail "threads change a rollout"
[ -s threads_1 ] || fail "no rollout to compare"

# Plays that are named.
expect 0 "24/14" -- "$tool" rollout --after "31: 8/5 6/5" --dice 64 --trials 36 --half-width 0 \
  --plays "24/14; 24/18, 13/9"
expect 1 "the same play twice" -- \
  "$tool" rollout --after "31: 8/5 6/5" --dice 64 --plays "24/14; 24/18 18/14"

# Comma-separated values.
expect 0 "position,dice,score,cube,money_rules,net,seed,rank,play,cost,equity" -- \
  "$tool" evaluate --position "$start" --dice 31 --csv
"$tool" rollout --position "6x2 5 / 4x2 3" --dice 21 --score money,dmp --trials 36 --half-width 0 \
  --csv >csv || fail "a rollout gives no CSV"
[ "$(grep -c '^position,dice,' csv)" -eq 1 ] || fail "a heading is there twice: $(cat csv)"
grep -q '^6x2 5 / 4x2 3,21,dmp,none,,standard/.*,1,1,' csv || fail "CSV says not what was asked: $(cat csv)"
expect 0 "no_double_match_winning_chance" ",3-away/5-away,centred," -- \
  "$tool" cube --after "31: 8/5 6/5" --score 3-away/5-away --csv
expect 1 "--csv" "it or --json" -- "$tool" evaluate --position "$start" --csv --json

# What may be mistyped is told of, not refused; what people mean is read.
expect 0 "warning: The side on roll has 14 of 15 checkers" '"warnings":["The side on roll' -- \
  "$tool" evaluate --position "24x2 13x5 8x3 6x4 / 24x2 13x5 8x3 6x5" --json
"$tool" evaluate --position "$start" 2>message >/dev/null
[ -s message ] && fail "the start is odd: $(cat message)"
expect 0 "8/5 6/5" -- "$tool" evaluate --position "24(2),13X5 8x3 6x5 / 24x2 13x5 8x3 6x5" --dice 3-1
expect 0 "\"position\":\"$start\"" -- "$tool" evaluate --json --both-from-roller \
  --position "24x2 13x5 8x3 6x5 / 1x2 12x5 17x3 19x5"
expect 0 '"cube":{"value":1,"owner":"centred"}' '"score":"3-away/5-away"' -- \
  "$tool" cube --after "31: 8/5 6/5" --cube Center --score 3-AWAY/5-away --json
expect 0 '"cube":"none"' -- "$tool" rollout --position "6x2 5 / 4x2 3" --dice 21 --cube none \
  --trials 36 --half-width 0 --json
expect 1 "no cube to double with" -- "$tool" cube --after "31: 8/5 6/5" --cube none

# Customs.
expect 0 "sixfold " -- "$tool" --version
expect 0 "Usage: sixfold rollout" "--half-width" "Examples:" -- "$tool" help rollout
expect 0 "Usage: sixfold" "lesson" -- "$tool" help
expect 2 "there is no command 'rolout'" -- "$tool" help rolout
expect 2 "--trials: 'abc' is not a whole number from 1 to 100000000" "sixfold help rollout" -- \
  "$tool" rollout --trials abc
expect 2 "--confidence: '1' is not a number from 0.5 to 0.9999" -- "$tool" rollout --confidence 1
expect 2 "--half-width: '-1' is not a number from 0 to 1000" -- "$tool" rollout --half-width=-1
expect 2 "--error: '0' is not a number above 0" -- "$tool" rollout --error 0
expect 2 "--seed: '999999999999999999999999...' is not a whole number" -- \
  "$tool" rollout --seed "$(printf '9%.0s' {1..400})"
for command in evaluate rollout cube equities flip lesson solve train duel queue; do
  "$tool" help $command >help || fail "no help for $command"
  grep -q "^  sixfold $command " help || fail "no example in the help of $command"
  awk -v command=$command 'length > 80 { print "FAILED: help " command ": " $0; exit 1 }' help ||
    failures=$((failures + 1))
done

# Exact tables: computed once, kept in the cache, never trusted when damaged.
tables=$XDG_CACHE_HOME/sixfold
bear_off="5 2 / 4 1"
[ -s "$tables/two-sided-6.table" ] && [ -s "$tables/one-sided-6.table" ] || fail "no tables are kept"
expect 0 '"method":"exact"' '"double, take"' -- "$tool" evaluate --position "$bear_off" --json
expect 0 '"method":"race table"' -- "$tool" evaluate --position "6x15 / 6x15" --json
expect 0 '"method":"exact"' -- "$tool" evaluate --position "24 23 / 24 23" --checkers 2 --json
expect 0 "Exact values" -- "$tool" evaluate --position "24 / 24" --checkers 1 --dice 31 --score dmp
expect 0 '"method":"network"' "see \`sixfold solve\`" -- \
  "$tool" evaluate --position "24 23 22 / 24 23 22" --checkers 3 --json
expect 0 "± 0.0000" -- "$tool" rollout --position "$bear_off" --dice 31 --trials 36 --half-width 0
expect 0 "positions, cubeless money play, solved in" "opening winner" -- "$tool" solve --checkers 2
expect 0 "loaded in" -- "$tool" solve --checkers 2
expect 0 '"schema":"sixfold.solution/1"' '"positions":601' -- "$tool" solve --checkers 1 --json
"$tool" evaluate --position "$bear_off" --json >right
printf 'x' | dd of="$tables/two-sided-6.table" bs=1 seek=100000 conv=notrunc 2>/dev/null
"$tool" evaluate --position "$bear_off" --json >mended 2>message
cmp -s right mended || fail "a damaged table changes values"
[ "$(grep -c "two-sided-6.table is not used, since it is damaged" message)" -eq 1 ] ||
  fail "a damaged table is not reported once: $(cat message)"
"$tool" evaluate --position "$bear_off" --json 2>message >/dev/null
[ -s message ] && fail "a damaged table is not mended: $(cat message)"
echo foreign >"$tables/one-sided-6.table"
expect 0 "one-sided-6.table is not used" '"method":"exact"' -- \
  "$tool" evaluate --position "$bear_off" --json
touch in_the_way
"$tool" evaluate --position "$bear_off" --cache in_the_way --json >unkept 2>message
cmp -s right unkept || fail "values differ without a cache"
[ "$(grep -c "works without storing tables" message)" -eq 1 ] ||
  fail "a cache that can't be written is not reported once: $(cat message)"
expect 2 -- "$tool" solve --checkers 4
expect 2 -- "$tool" evaluate --position "$bear_off" --race-points 11
expect 1 "more than 2 checkers" -- "$tool" evaluate --position "24 23 22 / 24 23" --checkers 2

# Bad input says what, where and what was expected.
expect 1 "position, character" "out of range" "expected 1 to 24" -- \
  "$tool" evaluate --position "25 / 6" --dice 31
expect 1 "not a roll" "two digits" -- "$tool" evaluate --position "$start" --dice 37
expect 1 "not a known score" "gammon-go" -- \
  "$tool" evaluate --position "$start" --dice 31 --score level
expect 1 "line of plays, play 1" "is not a legal play of 31" "8/5 6/5" -- \
  "$tool" evaluate --after "31: 8/4 6/5"
expect 1 "game is over" -- "$tool" rollout --position "6x2 / " --dice 31
expect 1 "no roll" -- "$tool" rollout --position "$start"
expect 1 "missing.safetensors" -- "$tool" evaluate --position "$start" --net missing.safetensors
head -c 1000 "$nets/standard.safetensors" >damaged.safetensors
expect 1 "damaged.safetensors" -- "$tool" evaluate --position "$start" --net damaged.safetensors
expect 1 "requests file nowhere" -- "$tool" evaluate --requests nowhere
expect 1 "instruction set" "scalar" -- "$tool" evaluate --position "$start" --isa mmx
expect 1 "lesson file nowhere.json" -- "$tool" lesson nowhere.json
echo '{"title":"x","position":"6 / 5","rolls":["31","31"]}' >lesson.json
expect 1 "lesson.json, rolls[1]" "duplicate" -- "$tool" lesson lesson.json
echo '{"position":"6 / 5","rolls":["31"],"flip":["64"]}' >lesson.json
expect 1 "lesson.json, flip[0]" "not a roll of the lesson" -- "$tool" lesson lesson.json
echo '{"position":"6 / 5","rolls":["31"],"cube":"mine"}' >lesson.json
expect 1 "lesson.json, cube" "centred, roller:V or opponent:V" -- "$tool" lesson lesson.json
echo '{"position":"6 / 5","rolls":["31"],"jacoby":1}' >lesson.json
expect 1 "lesson.json, jacoby" "true or false" -- "$tool" lesson lesson.json
expect 1 "64 is not a roll of the lesson" -- \
  "$tool" lesson --position "$start" --dice 31 --flip 64
expect 0 "What the best play gains" "what gammons are worth" "3-away/5-away" -- "$tool" lesson \
  --position "6x2 5 / 4x2 3" --dice 21 --trials 36 --half-width 0 --cube centred --flip 21 \
  --score money,dmp,3-away/5-away
echo '{"titel":"x","position":"6 / 5","rolls":["31"]}' >lesson.json
expect 1 "lesson.json, titel" "unknown field" -- "$tool" lesson lesson.json
expect 1 "not a recipe" "quick, standard, full or refine" -- "$tool" train --recipe slow --out net
expect 1 "100 hidden units" "multiple of 64" -- \
  "$tool" train --recipe quick --width 100 --out net
printf '%s\n' '# two lines' '24x2 / 24x16' >bad_starts
expect 1 "bad_starts, line 2" "15 checkers" -- "$tool" train --recipe quick --from bad_starts --out net
expect 1 "/dev/null" "no position" -- "$tool" train --recipe quick --from /dev/null --out net
expect 1 "there is no folder 'nowhere'" -- "$tool" train --recipe quick --out nowhere/net
expect 2 -- "$tool" rollout --position "$start" --dice 31 --trials 0
expect 2 -- "$tool" rollout --position "$start" --dice 31 --threads none
expect 2 -- "$tool" analyse
expect 2 -- "$tool"
if [ -e /dev/full ]; then
  "$tool" evaluate --position "$start" --json >/dev/full 2>message
  [ $? -eq 1 ] && grep -q "standard output" message || fail "a full disk goes unnoticed"
fi

# Colour is for people at a terminal: not in pipes, not in JSON, not for those who want none.
race=(--position "6x2 5 / 4x2 3" --dice 21)
has_colour() { grep -q $'\033\\[[0-9]'; }
# on_terminal VARIABLES... -- COMMAND...: with standard output a terminal.
on_terminal() {
  local variables=(TERM=xterm)
  while [ "$1" != -- ]; do
    variables+=("$1")
    shift
  done
  shift
  env -u NO_COLOR "${variables[@]}" script -qec "$(printf '%q ' "$@")" /dev/null </dev/null
}
"$tool" rollout "${race[@]}" --trials 36 --half-width 0 >piped 2>/dev/null
has_colour <piped && fail "a report in a file is coloured"
grep -q "○ opponent" piped || fail "there is no board in a rollout"
if command -v script >/dev/null && script -qec true /dev/null </dev/null >/dev/null 2>&1; then
  on_terminal -- "$tool" rollout "${race[@]}" --trials 36 --half-width 0 --quiet >seen
  grep -q $'\033\\[32mbest\033\\[0m' seen || fail "a verdict on a terminal has no colour"
  grep -q $'\033\\[[0-9;]*m●\033\\[0m' seen || fail "checkers on a terminal have no colour"
  sed $'s/\033\\[[0-9;]*m//g; s/\r//; s/[0-9.]* seconds//' seen >seen.plain
  sed 's/[0-9.]* seconds//' piped | cmp -s - seen.plain ||
    fail "on a terminal a report differs by more than colour"
  # Progress is one line on a terminal, and none with --quiet or in a pipe.
  long=(rollout --after "31: 8/5 6/5" --dice 64 --plays "24/14; 24/18 13/9" --half-width 0.03)
  on_terminal -- "$tool" "${long[@]}" >seen
  grep -q "rolling out 64 at money: [0-9]*%" seen || fail "no progress is shown: $(head -c 300 seen)"
  grep -q "costs ± 0.[0-9]* (wanted 0.03), [0-9]* s left" seen ||
    fail "progress does not say how well costs are known: $(head -c 300 seen)"
  on_terminal -- "$tool" "${long[@]}" --quiet >seen
  grep -q "rolling out" seen && fail "--quiet shows progress"
  "$tool" "${long[@]}" 2>&1 | grep -q "rolling out" && fail "progress is shown in a pipe"
  on_terminal NO_COLOR= -- "$tool" evaluate "${race[@]}" | has_colour ||
    fail "an empty NO_COLOR takes the colour away"
  on_terminal NO_COLOR=1 -- "$tool" evaluate "${race[@]}" | has_colour &&
    fail "NO_COLOR is not honoured"
  on_terminal TERM=dumb -- "$tool" evaluate "${race[@]}" | has_colour &&
    fail "a dumb terminal gets colour"
  on_terminal -- "$tool" evaluate "${race[@]}" --json | has_colour && fail "JSON is coloured"
else
  echo "script is missing: colours on a terminal are not checked"
fi

# A night's report: what is known, what is not begun, and folders that are refused.
cat >night.jsonl <<'END'
{"title": "Run <or> build?", "position": "6x2 5 / 4x2 3", "dice": "21", "trials": 36, "half_width": 0}
{"title": "Double, then?", "position": "7 6x3 5x2 / 8 6x2 5x3", "trials": 36, "half_width": 0}
END
"$tool" queue add --db night.db night.jsonl >/dev/null || fail "requests can't be queued"
report=("$tool" queue report --db night.db --out report)
expect 0 "Written: report/index.html" -- "${report[@]}"
grep -q "2 entries: 2 not done yet" report/index.html || fail "a report before the night says more"
[ "$(ls report)" = index.html ] || fail "a report before the night has more than a page"
expect 0 -- "$tool" queue run --db night.db --quiet
expect 1 "holds files already" "--force" -- "${report[@]}"
grep -q "2 not done yet" report/index.html || fail "a report that is refused writes"
expect 0 "Written" -- "${report[@]}" --force
for text in "Run &lt;or&gt; build?" 'href="entry-1.html"' ">21</span>" 'href="plays.csv"' \
  'href="entry-2.html"' 'href="doubles.csv"' "2 entries: "; do
  grep -qF "$text" report/index.html || fail "the report does not say '$text'"
done
grep -q 'href="index.html"' report/entry-1.html || fail "no way back from a sheet"
grep -q '^entry,title,' report/plays.csv || fail "plays without entries"
grep -qF '2,"Double, then?",' report/doubles.csv || fail "doubles without titles"
expect 1 "nowhere.db" -- "$tool" queue report --db nowhere.db --out other
expect 1 "is no folder" -- "$tool" queue report --db night.db --out night.jsonl
expect 1 "can't be made" -- "$tool" queue report --db night.db --out nowhere/report
"$tool" queue remove --db night.db 1 2
expect 1 "holds no entries" -- "$tool" queue report --db night.db --out other
[ -e other ] && fail "a report without entries makes a folder"

[ "$failures" -eq 0 ] && echo "All command line checks passed"
exit "$failures"
