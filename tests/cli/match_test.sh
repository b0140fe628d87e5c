#!/usr/bin/env bash
# Recorded matches as their players bring them. Run as: match_test.sh <sixfold> <demo folder>
tool=$1
demo=$2
source "$(dirname "${BASH_SOURCE[0]}")/expect.sh"

# The demo: three games, the second one the Crawford game, the third with a cube at 2.
expect 0 "Mara against Ivo, match to 3" "2     0:2 Crawford" "Ivo wins 4 points" \
  "Where the result came from, in chance to win the match of Mara" "The dearest decisions" -- \
  "$tool" match "$demo/club_match.txt"
"$tool" match "$demo/club_match.txt" --depth static --json >json || fail "no JSON"
for text in '"schema":"sixfold.match/1","players":["Mara","Ivo"],"length":3' '"crawford":true' \
  '"kind":"double"' '"kind":"take"' '"score":"1-away/3-away crawford","cube":"none"' \
  '"cube":{"value":2,"owner":"opponent"}' '"totals":[{"cost_plays":'; do
  grep -qF "$text" json || fail "the demo's JSON has no $text"
done
"$tool" match - --csv <"$demo/club_match.txt" >csv || fail "no table"
[ "$(grep -o '"turn":' json | wc -l)" -eq "$(($(wc -l <csv) - 1))" ] || fail "other decisions as CSV"
grep -q '^game,turn,player,kind,position,dice,score,cube,' csv || fail "heading: $(head -1 csv)"

# A roll ahead: the net's own choices are looked at again, and no cost has an interval.
"$tool" match "$demo/club_match.txt" --depth lookahead --json >json || fail "nothing is looked at"
grep -qF '"depth":"lookahead"' json || fail "not a roll ahead: $(head -c 300 json)"
grep -qF '"judged_by":"lookahead"' json || fail "no turn a roll ahead: $(head -c 300 json)"
! grep -q half_width json || fail "an interval without a rollout"

# What is dear by static values or a roll ahead is rolled out: two decisions of the demo, which have
# intervals; so have both players' totals, and each game's and the match's balance.
"$tool" match "$demo/club_match.txt" --depth rollout --bound 0.22 --half-width 0.2 --json >json ||
  fail "nothing is rolled out"
[ "$(grep -o '"judged_by":"rollout"' json | wc -l)" -eq 2 ] || fail "not two: $(head -c 300 json)"
[ "$(grep -o '"cost_half_width"' json | wc -l)" -eq 8 ] || fail "other intervals: $(head -c 300 json)"
"$tool" match "$demo/club_match.txt" --depth rollout --bound 0.22 --half-width 0.2 --threads 1 \
  --json | cmp -s - json || fail "threads change a review"
expect 0 " ± 0." "two others that" -- \
  "$tool" match "$demo/club_match.txt" --depth rollout --bound 0.22 --half-width 0.2
expect 1 "--half-width" "it with --depth rollout" -- \
  "$tool" match "$demo/club_match.txt" --half-width 0.1

# Lesson files of the dearest decisions are lessons, and may be queued.
expect 0 "3 lesson files are in dear" -- "$tool" match "$demo/club_match.txt" --lesson 3 --out dear
expect 0 "Game 3, turn 18: Ivo, 22" "13/9*(2)" "13/11(2) 6/4(2)" -- \
  "$tool" lesson dear/decision-1.json --trials 36 --half-width 0
expect 0 "1" "3" -- "$tool" queue add --db dear.db dear/decision-{1,2,3}.json
expect 1 "dear: holds files already" -- "$tool" match "$demo/club_match.txt" --lesson 1 --out dear
expect 1 "--lesson" "it and --out" -- "$tool" match "$demo/club_match.txt" --lesson 1

# What is undecided goes into the night's queue once; what the queue has found comes back, from
# entries of others too.
expect 0 "n.db: undecided decisions: 2 put into it, 0 waiting there, 0 answered" -- \
  "$tool" match "$demo/club_match.txt" --queue n.db --bound 0.22
expect 0 "0 put into it, 2 waiting there, 0 answered" -- \
  "$tool" match "$demo/club_match.txt" --queue n.db --bound 0.22
expect 0 "Game 2, turn 20: Ivo, 41" -- "$tool" queue list --db n.db
sed 's/^{/{"trials":36,"half_width":0.5,/' dear/decision-1.json >quick.json
expect 0 "1" -- "$tool" queue add --db quick.db quick.json
expect 0 "" -- "$tool" queue run --db quick.db --quiet
"$tool" match "$demo/club_match.txt" --queue quick.db --bound 0.22 --json >json 2>said ||
  fail "no answer of a queue: $(cat said)"
grep -q "1 put into it, 0 waiting there, 1 answered" said || fail "not answered: $(cat said)"
[ "$(grep -o '"judged_by":"rollout"' json | wc -l)" -eq 1 ] || fail "not come back: $(head -c 300 json)"
grep -qF '"depth":"static"' json || fail "rolled out at once: $(head -c 300 json)"
expect 0 "a cost has its half-width" "errors of the rollouts" -- \
  "$tool" match "$demo/club_match.txt" --queue quick.db --bound 0.22
# An entry that can't be read is named, and loses nothing of the review.
python3 -c 'import sqlite3; queue = sqlite3.connect("quick.db")
queue.execute("UPDATE entry SET input = \"{\" WHERE id = 1"); queue.commit()'
expect 0 "quick.db, entry 1: " "1 put into it, 1 waiting there, 0 answered" "The dearest decisions" -- \
  "$tool" match "$demo/club_match.txt" --queue quick.db --bound 0.22
expect 1 "--equities" "no --queue beside it" -- \
  "$tool" match "$demo/club_match.txt" --queue quick.db --equities other.csv
expect 1 "--bound" "it with --depth rollout" -- "$tool" match "$demo/club_match.txt" --bound 0.1

cat >double.txt <<'MATCH'
player: Mara
player: Ivo
game 1
1 31: 8/5 6/5
64: 24/14
double
pass
MATCH
expect 0 "1 lesson file" -- "$tool" match double.txt --lesson 1 --out doubles
expect 0 "Ivo chose pass" "double" -- \
  "$tool" lesson doubles/decision-1.json --trials 36 --half-width 0 --quiet

# The review as files: all tell the same, the terminal tells where they are.
cp "$demo/club_match.txt" record.txt
expect 0 "Ivo wins 4 points" "Written: r.html" "Written: r.md" "Written: r.json" "Written: r.csv" -- \
  "$tool" match record.txt --out r.html --out r.md --out r.json --out r.csv
"$tool" match record.txt --json | cmp -s - r.json || fail "--out and --json differ"
"$tool" match record.txt --csv | cmp -s - r.csv || fail "--out and --csv differ"
for text in '<title>Mara against Ivo</title>' '>0.238</data>' '>−11.88%</data>' \
  '<pre>sixfold match record.txt --out r.html' 'href="#game-3-turn-18"' 'id="game-3-turn-18"'; do
  grep -qF -- "$text" r.html || fail "the page has no $text"
done
grep -qF '| 13/9\*(2) | 13/11(2) 6/4(2) | 0.238 | −11.88% |' r.md || fail "Markdown: $(cat r.md)"
expect 1 "--out r.html: is there already" "--force" -- "$tool" match record.txt --out r.html
expect 0 "Written: r.html" -- "$tool" match record.txt --out r.html --force
cp record.txt record.md
expect 1 "--out record.md: is read or written already" -- \
  "$tool" match record.md --out record.md --force
cmp -s record.txt record.md || fail "a record is written over"
expect 1 "--out ./new.md: is read or written already" -- \
  "$tool" match record.txt --out new.md --out ./new.md
[ ! -e new.md ] || fail "something is written though --out is wrong"
expect 1 "--out page.htm" ".html, .md, .csv" "--lesson N" -- "$tool" match record.txt --out page.htm
expect 1 "--out nowhere/r.html" "there is no folder" -- "$tool" match record.txt --out nowhere/r.html
expect 0 "2 lesson files are in both" "Written: both.html" -- \
  "$tool" match record.txt --lesson 2 --out both --out both.html
expect 1 "--out second: is a second folder" -- \
  "$tool" match record.txt --lesson 2 --out third --out second
[ ! -e third ] || fail "a folder is made though --out is wrong"
printf 'player: A\nplayer: B\nlength: 40\ngame 1\n1 31: 8/5 6/5\n' >unjudged.txt
expect 1 "Written: unjudged.html" -- "$tool" match unjudged.txt --out unjudged.html
grep -q "No game could be judged" unjudged.html || fail "a page of nothing says nothing"

# Names of any length and script; a match that no table holds; cubes beyond what anybody needs.
cat >long.txt <<'MATCH'
player: Bárbara Æþelflæd Ñuñoa de la Vega y Ordóñez
player:
length: 2
game 1
1 31: 8/5 6/5
64: 24/14
double
take
63: 24/15
double
take
52: 13/8 6/4
MATCH
"$tool" match long.txt >text || fail "long names, or a cube at 4 for 2 points: $(cat text)"
iconv -f utf-8 -t utf-8 text >/dev/null || fail "names are cut inside a letter"
grep -q "player 2" text || fail "a player without a name has none: $(cat text)"
sed 's/length: 2/length: 40/' long.txt >forty.txt
expect 1 "a match to 40: the match equity table goes to 25 away" "No game could be judged" -- \
  "$tool" match forty.txt

# The open standard: its own forms, two games a file.
cat >evening.sgf <<'SGF'
(;FF[4]GM[6]PW[Mara]PB[Ivo]MI[length:5][game:1][ws:0][bs:0]RE[W+1]
;W[31hefe];B[64ak];W[double];B[drop])
(;FF[4]GM[6]PW[Mara]PB[Ivo]MI[length:5][game:2][ws:1][bs:0];B[61lrqr];W[52mhxv])
SGF
"$tool" match evening.sgf --json >json || fail "the standard's record is refused: $(head -c 300 json)"
for text in '"played":"8/5 6/5"' '"played":"24/14"' '"played":"double"' '"played":"pass"' \
  '"score":[1,0],"winner":null' '"score":"5-away/4-away"'; do
  grep -qF "$text" json || fail "the standard's record has no $text: $(head -c 300 json)"
done

# What can't be read is told by game and turn, with the legal plays; the rest is judged.
sed 's/52mhxv/52mhxx/' evening.sgf >wrong.sgf
expect 1 "wrong.sgf, game 2, turn 2" "13/8" "Mara wins a point" -- "$tool" match wrong.sgf
expect 1 "no game in the text" "a recorded match" -- "$tool" match <(echo)
expect 1 "match file nowhere" "cannot be read" -- "$tool" match nowhere
expect 2 "--depth" -- "$tool" match evening.sgf --depth deep
expect 2 "file" -- "$tool" match

[ "$failures" -eq 0 ] && echo "All checks of matches passed"
exit "$failures"
