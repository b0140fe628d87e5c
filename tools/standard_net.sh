#!/usr/bin/env bash
# Makes the default network again, from random weights to its luck networks: the commands of
# nets/README.md in their order, some three hours on two cores. Steps that are done are not done
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
# refine NAME GAMES FROM LUCK_BY OPTIONS...
refine() {
  step "$1" "$2" --recipe refine --start "$room/$3.safetensors" --luck-by "$4" "${@:5}"
}

step base 1500000 --recipe full --luck-by nets/teacher.safetensors --seed 1
refine unsplit_alone 700000 base nets/former.safetensors --seed 1
luck unsplit unsplit_alone
refine three_alone 700000 unsplit "$room/unsplit.safetensors" --split 3 --width 320 --seed 1
luck three three_alone
refine five 1000000 three "$room/three.safetensors" --split 5 --seed 1
refine standard_alone 1000000 five "$room/three.safetensors" --seed 2
luck standard standard_alone
