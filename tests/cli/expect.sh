# Sourced by the scripts that try the tool: a folder of their own to work in, and what they expect.
set -u
scratch=$(mktemp -d)
trap 'rm -rf "$scratch"' EXIT
failures=0
cd "$scratch" || exit 1
export XDG_CACHE_HOME="$scratch/cache"

fail() {
  echo "FAILED: $1"
  failures=$((failures + 1))
}

# expect STATUS TEXT... -- COMMAND...: the exit code, and texts that the output (both streams) holds.
expect() {
  local status=$1
  shift
  local texts=()
  while [ "$1" != -- ]; do
    texts+=("$1")
    shift
  done
  shift
  local output
  output=$("$@" 2>&1 </dev/null)
  local found=$?
  [ "$found" -eq "$status" ] || fail "'$*' exits with $found, not $status: $output"
  local text
  for text in "${texts[@]}"; do
    grep -qF -- "$text" <<<"$output" || fail "'$*' does not say '$text': $output"
  done
}
