#!/usr/bin/env bash
# Makes a default network from random weights to its luck networks, by the steps of nets/README.md
# and nothing but what they make: nearly four hours on two cores. Steps that are done are not done
# again, and one that was interrupted goes on. Run as:
#   tools/standard_net.sh DIRECTORY [GAMES]
# GAMES, for a trial, is the number of games of every step.
if (($# < 1 || $# > 2)); then
  echo "usage: tools/standard_net.sh DIRECTORY [GAMES]" >&2
  exit 2
fi
room=$(realpath -m "$1")
trial=${2:-}
more_packages=()
source "$(dirname "${BASH_SOURCE[0]}")/setup.sh"
configure release build
cmake --build build --target sixfold
mkdir -p "$room"

# step NAME GAMES OPTIONS...: trains NAME in the directory, unless it is there.
step() {
  local out=$room/$1.safetensors
  local command=(build/sixfold train "${@:3}" --games "${trial:-$2}" --out "$out")
  if [ -e "$out" ]; then return; fi
  if [ -e "$out.checkpoint" ]; then command+=(--resume); fi
  printf '\n%s\n' "${command[*]}"
  "${command[@]}"
}
# luck NAME OF: NAME is the network OF with luck networks besides.
luck() { step "$1" 400000 --luck-for "$room/$2.safetensors" --recipe standard --seed 1; }
# refine NAME GAMES FROM LUCK_OF OPTIONS...: goes on from FROM, with luck by LUCK_OF's networks.
refine() {
  step "$1" "$2" --recipe refine --start "$room/$3.safetensors" \
    --luck-by "$room/$4.safetensors" "${@:5}"
}

# The first net learns with luck in: it is there for its luck networks alone.
step first_alone 1000000 --recipe standard --seed 1
luck first first_alone
step base_alone 1500000 --recipe full --luck-by "$room/first.safetensors" --seed 1
luck base base_alone
refine unsplit_alone 700000 base base --seed 1
luck unsplit unsplit_alone
refine three_alone 700000 unsplit unsplit --split 3 --width 320 --seed 1
luck three three_alone
refine five 1000000 three three --split 5 --seed 1
refine standard_alone 1000000 five three --seed 2
luck standard_lucky standard_alone
step standard 40960 --cube-for "$room/standard_lucky.safetensors" --recipe standard --seed 1
