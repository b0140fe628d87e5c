#!/usr/bin/env bash
# Instructions of the engine's inner work, counted by valgrind, so that noise of the machine plays no
# part: once and three times the same work, of which the difference is taken. Valgrind has no
# AVX-512, so this is the avx2 level. Run as: bench/instructions.sh PROGRAM NET
set -euo pipefail
program=$1
net=$2
counted() {
  valgrind --tool=callgrind --callgrind-out-file=/dev/null "$program" "$net" "$1" "$2" 2>&1 >/dev/null |
    awk '/Collected/ { print $NF }'
}
for job in generate evaluate evaluate-cube choose choose-cube luck; do
  once=$(counted "$job" 1)
  thrice=$(counted "$job" 3)
  units=$("$program" "$net" "$job" 1)
  case $job in
    generate) what="a roll's plays" ;;
    evaluate) what="a child, with its share of generation" ;;
    evaluate-cube) what="the same, and how alive the cube is" ;;
    choose) what="a choice of a play" ;;
    choose-cube) what="a choice with the cube, at money" ;;
    luck) what="the luck networks at a position" ;;
  esac
  printf '%-13s %6d instructions: %s\n' "$job" $(((thrice - once) / 2 / units)) "$what"
done
