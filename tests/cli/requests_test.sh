#!/usr/bin/env bash
# Many questions in one run, as programs ask them. Run as: requests_test.sh <sixfold>
tool=$1
source "$(dirname "${BASH_SOURCE[0]}")/expect.sh"

start="24x2 13x5 8x3 6x5 / 24x2 13x5 8x3 6x5"

# Requests are answered in order; a bad one does not stop the rest.
cat >requests <<REQUESTS
{"id":1,"position":"$start","dice":"31"}
{"id":"two","position":"25x2 / 6","dice":"31"}
not json
{"id":4,"position":"$start","dice":"77"}
{"id":5,"position":"$start","colour":"red"}
{"id":6,"after":"31: 8/5 6/5","score":"dmp"}
REQUESTS
"$tool" evaluate --requests requests >answers 2>message
[ $? -eq 1 ] || fail "requests of which some are bad do not end in an error"
grep -q "4 of 6 requests have no answer" message || fail "bad requests are not counted: $(cat message)"
[ "$(wc -l <answers)" -eq 6 ] || fail "six requests have $(wc -l <answers) answers"
line() { sed -n "${1}p" answers; }
grep -q '"id":1,.*"plays"' <(line 1) || fail "request 1: $(line 1)"
grep -q '"schema":"sixfold.error/1","id":"two","line":2,"error":"requests line 2: .*out of range' <(line 2) || fail "request 2: $(line 2)"
grep -q '"id":null,"line":3,"error":"requests line 3: not JSON at column 2' <(line 3) || fail "request 3: $(line 3)"
grep -q '"id":4,"line":4,"error":.*not a roll' <(line 4) || fail "request 4: $(line 4)"
grep -q '"id":5,"line":5,"error":.*unknown field' <(line 5) || fail "request 5: $(line 5)"
grep -q '"id":6,.*"outcomes"' <(line 6) || fail "request 6: $(line 6)"

# Requests may say which plays are rolled out and how much, each its own.
cat >requests <<REQUESTS
{"id":1,"title":"Run?","after":"31: 8/5 6/5","dice":"64","plays":["24/14","24/18 13/9"],"trials":72,"half_width":0,"seed":7}
{"id":2,"after":"31: 8/5 6/5","dice":"64","plays":"24/14","cube":"roller:2"}
REQUESTS
"$tool" rollout --requests requests --trials 36 --half-width 0 >answers || fail "good requests fail"
grep -q '"id":1,"title":"Run?",.*"cube":{"value":1,"owner":"centred"}.*"seed":7,"settings":{"trials":72,.*"24/14"' \
  <(line 1) || fail "request of two plays: $(line 1)"
[ "$(line 1 | grep -o '"rank"' | wc -l)" -eq 2 ] || fail "other plays than the named: $(line 1)"
grep -q '"id":2,.*"cube":{"value":2,"owner":"roller"}.*"seed":1,"settings":{"trials":36,' \
  <(line 2) || fail "request with a cube: $(line 2)"
expect 1 "field plays: this command rolls no plays out" -- \
  "$tool" evaluate --requests <(echo '{"after":"31: 8/5 6/5","dice":"64","plays":"24/14"}')
expect 1 "field trials: this command rolls nothing out" -- \
  "$tool" evaluate --requests <(echo '{"after":"31: 8/5 6/5","dice":"64","trials":36}')
expect 0 '"method":"rollout"' -- "$tool" cube \
  --requests <(echo '{"after":"31: 8/5 6/5","trials":36,"half_width":0}')

# An id that would use up the stack is refused like any other bad request.
deep=$(printf '[%.0s' {1..60000})$(printf ']%.0s' {1..60000})
printf '{"id":%s,"position":"6 / 5"}\n{"id":2,"position":"6 / 5"}\n' "$deep" >requests
"$tool" evaluate --requests requests >answers 2>/dev/null
[ $? -eq 1 ] || fail "a deep id does not end in an error"
grep -q '"id":null,"line":1,"error":.*100 levels at most' <(line 1) || fail "deep id: $(line 1)"
grep -q '"id":2,.*"outcomes"' <(line 2) || fail "after a deep id: $(line 2)"

# A request says what the options say.
cat >requests <<REQUESTS
{"after":"31: 8/5 6/5","dice":"64","plays":"24/14; 24/18 13/9","trials":36,"half_width":0,"confidence":0.8,"lookahead":1,"truncate":2,"luck":"full","error":0.000001,"blunder":5,"ledger":true}
{"after":"31: 8/5 6/5","dice":"64","plays":"24/14; 24/18 13/9","trials":36,"half_width":0,"plain":true,"free_dice":true,"play_on":true}
REQUESTS
"$tool" rollout --requests requests >answers || fail "requests that say everything fail"
"$tool" rollout --after "31: 8/5 6/5" --dice 64 --plays "24/14; 24/18 13/9" --trials 36 \
  --half-width 0 --confidence 0.8 --lookahead 1 --truncate 2 --luck full --error 0.000001 \
  --blunder 5 --ledger --json >said
"$tool" rollout --after "31: 8/5 6/5" --dice 64 --plays "24/14; 24/18 13/9" --trials 36 \
  --half-width 0 --plain --free-dice --play-on --json >>said
without_seconds() { sed 's/"seconds":[^}]*//' "$1"; }
cmp -s <(without_seconds answers) <(without_seconds said) ||
  fail "a request is not the options that it says: $(diff answers said)"
grep -q '"grade":"error"' <(line 1) || fail "a request's bounds do not grade: $(line 1)"
expect 0 '"facts":{"roller"' -- \
  "$tool" evaluate --requests <(echo '{"after":"31: 8/5 6/5","dice":"64","facts":true}')
expect 1 "field facts: this command tells none" -- \
  "$tool" cube --requests <(echo '{"after":"31: 8/5 6/5","facts":true}')
expect 1 "field lookahead: not a whole number in range; expected 0 to 1" -- \
  "$tool" rollout --requests <(echo '{"after":"31: 8/5 6/5","dice":"64","lookahead":2}')
expect 1 "field luck: this command rolls nothing out" -- \
  "$tool" evaluate --requests <(echo '{"after":"31: 8/5 6/5","luck":"net"}')
expect 1 "field ledger: this command rolls no plays out" -- \
  "$tool" cube --requests <(echo '{"after":"31: 8/5 6/5","ledger":true}')

# Answers as a table begin with the id and the title; complaints go to standard error.
cat >requests <<REQUESTS
{"id":"a,b","title":"Say \"why\"","position":"6x2 5 / 4x2 3"}
{"id":2,"position":"25x2 / 6"}
{"id":[3],"position":"6x2 5 / 4x2 3","dice":"21"}
REQUESTS
"$tool" evaluate --requests requests --csv >csv 2>message
[ $? -eq 1 ] || fail "a table of which a request is bad ends without an error"
grep -q "requests line 2: position" message || fail "the bad request is not told: $(cat message)"
[ "$(grep -c '^id,title,position,dice,' csv)" -eq 1 ] || fail "not one heading: $(cat csv)"
grep -q '^"a,b","Say ""why""",6x2 5 / 4x2 3,,money,' csv || fail "no name in front: $(cat csv)"
grep -q '^\[3\],,6x2 5 / 4x2 3,21,money,.*,1,6/4 5/4,' csv || fail "no play: $(cat csv)"
for command in rollout cube; do
  "$tool" $command --requests <(echo '{"id":7,"position":"6x2 5 / 4x2 3","dice":"21"}') \
    --trials 36 --half-width 0 --csv | grep -q '^7,,6x2 5 / 4x2 3,' || fail "$command: no table"
done

# Distributions alone, in JSON or as a table.
"$tool" evaluate --requests requests --distributions >answers 2>/dev/null
grep -q '^{"schema":"sixfold.distribution/1","id":"a,b","title":"Say ..why..","score":"money","outcomes":{"lose_backgammon":' <(line 1) ||
  fail "no distribution: $(line 1)"
grep -q '"id":\[3\],"line":3,"error":.*before the dice' <(line 3) || fail "with dice: $(line 3)"
outcomes() { grep -o '"outcomes":{[^}]*}' "$1"; }
"$tool" evaluate --position "$start" --json >whole
"$tool" evaluate --position "$start" --distributions >alone
cmp -s <(outcomes whole) <(outcomes alone) || fail "other outcomes: $(cat whole alone)"
expect 0 "lose_backgammon,lose_gammon,lose_single,win_single,win_gammon,win_backgammon" -- \
  "$tool" evaluate --position "$start" --distributions --csv
expect 1 "--facts" "it or --distributions" -- \
  "$tool" evaluate --position "$start" --distributions --facts

# Answers come as questions do: whoever asks waits for each before the next.
coproc asked { exec "$tool" evaluate --requests -; }
for id in 1 2 3; do
  echo "{\"id\":$id,\"position\":\"6x2 5 / 4x2 3\"}" >&"${asked[1]}"
  read -r -t 20 answer <&"${asked[0]}" || fail "no answer to question $id"
  [[ $answer == *"\"id\":$id,"* ]] || fail "question $id was answered by $answer"
done

[ "$failures" -eq 0 ] && echo "All checks of requests passed"
exit "$failures"
