#!/usr/bin/env bash
# Feeds every reader of what others wrote with anything, for so many minutes each, and keeps what is
# found in build-fuzz. Ends with 1 where something was found. Run as:
#   tools/fuzz.sh MINUTES [TARGET...]
set -euo pipefail
minutes=${1:?how many minutes each target is to run}
shift
more_packages=(clang-16)  # The standard one of Debian 12 knows too little of C++20.
source "$(dirname "${BASH_SOURCE[0]}")/setup.sh"

configure fuzz build-fuzz >/dev/null
targets=("$@")
if [ "${#targets[@]}" -eq 0 ]; then
  for source in tests/fuzz/*.cpp; do
    name=$(basename "$source" .cpp)
    [ "$name" = replay ] || targets+=("$name")
  done
fi
cmake --build build-fuzz --target "${targets[@]/#/fuzz_}"

found=0
cd build-fuzz  # Fuzzers that run side by side leave logs where they are.
for target in "${targets[@]}"; do
  mkdir -p seen/"$target" found
  # New inputs go to the first folder; the corpus of the sources is only read.
  ./fuzz_"$target" seen/"$target" ../tests/fuzz/corpus/"$target" \
    -max_total_time="$((minutes * 60))" -max_len=65536 -rss_limit_mb=4096 -timeout=10 \
    -jobs="$(nproc)" -workers="$(nproc)" -print_final_stats=1 \
    -artifact_prefix=found/"$target"- >"$target".log 2>&1 || found=1
  runs=$(grep -h stat::number_of_executed_units fuzz-*.log | awk '{sum += $2} END {print sum}')
  rm -f fuzz-*.log
  echo "$target: $runs runs, $(ls found | grep -c "^$target-" || true) findings"
done
exit "$found"
