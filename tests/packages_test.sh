#!/usr/bin/env bash
# Packages of the tool as those meet them who install them: what is in them, that it runs without a
# network, that the manual tells all that help does, and that shells complete what is typed. Run as:
#   packages_test.sh <build folder> <scratch folder>
# Skipped where there is no dpkg-dev.
for needed in dpkg-deb dpkg-shlibdeps file; do
  command -v "$needed" >/dev/null || { echo "no $needed"; exit 77; }
done
build=$1
packages=$2
examples=$(cd "$(dirname "${BASH_SOURCE[0]}")/../tools/demo" && ls)
source "$(dirname "${BASH_SOURCE[0]}")/cli/expect.sh"

rm -rf "$packages"
cpack --config "$build/CPackConfig.cmake" -B "$packages" >log 2>&1 || { cat log; exit 1; }
trap 'rm -rf "$scratch" "$packages"' EXIT
version=$("$build/sixfold" --version | cut -d ' ' -f 2)
architecture=$(dpkg --print-architecture)

# Without a network, where the system lets us take it away.
offline=()
for take_away in "unshare --net" "unshare --map-root-user --net"; do
  if $take_away true 2>/dev/null; then
    read -ra offline <<<"$take_away"
    break
  fi
done
[ ${#offline[@]} -gt 0 ] || echo "the network cannot be taken away here"

# has_files PACKAGE FILE...: it holds these and no others; TYPE is the type of the build.
has_files() {
  local package=$1
  shift
  diff <(dpkg-deb --fsys-tarfile "$package" | tar -t | grep -v '/$' | sort |
         sed "s/targets-[a-z]*/targets-TYPE/") \
    <(printf './usr/%s\n' "$@" | sort) || fail "$package holds other files than it should"
}
# has_field PACKAGE FIELD PATTERN
has_field() {
  [[ $(dpkg-deb --field "$1" "$2") =~ $3 ]] ||
    fail "$1: $2 is '$(dpkg-deb --field "$1" "$2")', not '$3'"
}

tool=$packages/sixfold_${version}_$architecture.deb
library=$packages/libsixfold-dev_${version}_$architecture.deb
has_files "$tool" bin/sixfold share/sixfold/standard.safetensors share/man/man1/sixfold.1.gz \
  share/bash-completion/completions/sixfold share/zsh/vendor-completions/_sixfold \
  share/fish/vendor_completions.d/sixfold.fish share/doc/sixfold/copyright \
  $(printf 'share/doc/sixfold/examples/%s ' $examples)
has_files "$library" include/sixfold/sixfold.h lib/libsixfold.a share/doc/libsixfold-dev/copyright \
  lib/cmake/sixfold/sixfold-{config,config-version,targets,targets-TYPE}.cmake
for package in "$tool" "$library"; do
  has_field "$package" Version "^$version$"
  has_field "$package" Architecture "^$architecture$"
  has_field "$package" Maintainer "^Sixfold developers <"
  has_field "$package" Description "^[a-z].*backgammon rollouts|^backgammon rollouts"
done
has_field "$tool" Package '^sixfold$'
has_field "$tool" Section '^games$'
for needed in libc6 libcpp-httplib libfmt libsqlite3-0 libstdc++6 libtbb; do
  has_field "$tool" Depends "(^|, )${needed//+/\\+}"
done
[[ $(dpkg-deb --field "$tool" Depends) != *mpi* ]] || fail "the tool's package needs MPI"
has_field "$library" Package '^libsixfold-dev$'
has_field "$library" Section '^libdevel$'
has_field "$library" Depends "^sixfold \(= $version\), libtbb-dev, libfmt-dev$"
if [ -x "$build/sixfold-mpi" ]; then
  has_field "$packages/sixfold-mpi_${version}_$architecture.deb" Depends \
    "^sixfold \(= $version\), openmpi-bin,.* libopenmpi"
fi

# evaluates PROGRAM NET: by the net of that place and no other.
evaluates() {
  expect 0 '"schema":"sixfold.evaluation/' '"net":"standard/' -- \
    "${offline[@]}" "$1" evaluate --after "31: 8/5 6/5" --dice 64 --json
  mv "$2" "$2.away" || fail "no net at $2"
  expect 1 "$2" -- "$1" evaluate --after "31: 8/5 6/5" --dice 64 --json
  mv "$2.away" "$2"
}
dpkg-deb --extract "$tool" root
dpkg-deb --extract "$library" root
evaluates "$scratch/root/usr/bin/sixfold" "$scratch/root/usr/share/sixfold/standard.safetensors"
readelf --dynamic root/usr/bin/sixfold | grep -qE "RPATH|RUNPATH" &&
  fail "the installed program looks for libraries of its own"
expect 0 MIT -- head -1 root/usr/share/doc/sixfold/copyright

# The Python module, where it was built, finds the net of the tool's package.
python=$packages/python3-sixfold_${version}_$architecture.deb
if [ -d "$build/python" ]; then
  has_field "$python" Depends "^sixfold \(= $version\), python3 .*, python3-numpy"
  dpkg-deb --extract "$python" root
  PYTHONPATH=root/usr/lib/python3/dist-packages "${offline[@]}" /usr/bin/python3 -c '
import sixfold
print(sixfold.__file__, sixfold.Engine().evaluate(after="31: 8/5 6/5", dice="64").net)' >said ||
    fail "the Python module does not work"
  grep -q "root/usr/lib/python3/dist-packages/.* standard/" said || fail "Python says $(cat said)"
fi

# The archive runs from any folder, and with the libraries that it brings along.
mkdir "a folder"
tar -xzf "$packages"/sixfold-"$version"-linux-*.tar.gz -C "a folder" || fail "the archive is broken"
unpacked=$(echo "$scratch/a folder"/sixfold-*)
evaluates "$unpacked/bin/sixfold" "$unpacked/share/sixfold/standard.safetensors"
for each in libcpp-httplib libfmt libsqlite3 libtbb; do
  ldd "$unpacked/bin/sixfold" | grep -F "$each" | grep -qF "$unpacked/" ||
    fail "$each is not the archive's"
done
for each in man/man1/sixfold.1.gz bash-completion/completions/sixfold doc/sixfold/copyright; do
  cmp "$unpacked/share/$each" "root/usr/share/$each" || fail "the archive's $each is another"
done

# The manual: every option of every command, in the part on that command.
share=$scratch/root/usr/share
sixfold=$scratch/root/usr/bin/sixfold
gunzip --stdout "$share/man/man1/sixfold.1.gz" >page || fail "no manual"
sed "s/\\\\-/-/g; s/\\\\f[BIR]//g; s/\\\\(aq/'/g" page >plain
# commands_of HELP: the first words below its heading "Subcommands".
commands_of() { awk '!NF { on = 0 } on { print $1 } /^Subcommands:/ { on = 1 }' <<<"$1"; }
# options_of HELP
options_of() { grep -oE '^  (-h,)?--[a-z-]+' <<<"$1" | grep -oE -- '--[a-z-]+$' | sort; }
mapfile -t commands < <(commands_of "$("$sixfold" --help)" | grep -v '^queue$'
                        commands_of "$("$sixfold" queue --help)" | sed 's/^/queue /')
[ ${#commands[@]} -ge 18 ] || fail "only ${#commands[@]} commands are known"
for command in "${commands[@]}"; do
  awk -v command=".SS sixfold $command" '/^.S[SH]/ { on = $0 == command } on' plain >part
  help=$("$sixfold" $command --help-all 2>/dev/null) || help=$("$sixfold" $command --help)
  for option in $(options_of "$help" | grep -v -x -e --help); do
    grep -qE "^$option( |$)" part || fail "the manual's $command leaves $option out"
  done
  tr '\n' ' ' <part | grep -qF -- "$(head -1 <<<"$help")" ||
    fail "the manual does not say what $command is"
done
for word in XDG_CACHE_HOME '^130$' '^-h, --help' "^sixfold - backgammon"; do
  grep -q -- "$word" plain || fail "the manual leaves $word out"
done
if command -v man >/dev/null && man --version | grep -q '^man '; then
  man --warnings -l page 2>warnings >/dev/null || fail "man does not read the manual"
  [ ! -s warnings ] || fail "man warns of the manual: $(cat warnings)"
fi
if command -v mandoc >/dev/null; then  # It has no date: the same sources make the same page.
  lint=$(mandoc -T lint page | grep -v 'missing date')
  [ -z "$lint" ] || fail "mandoc finds $lint"
fi

# Completion in bash. completed WORD...: what may take the place of the last one.
source "$share/bash-completion/completions/sixfold"
completed() {
  COMP_WORDS=("$@")
  COMP_CWORD=$(($# - 1))
  COMPREPLY=()
  _sixfold
  printf '%s\n' "${COMPREPLY[@]}" | sort
}
# completes EXPECTED WORD...
completes() {
  local expected=$1
  shift
  local found
  found=$(completed "$@" | tr '\n' ' ')
  [ "${found% }" = "$expected" ] || fail "'$*' is completed by '$found', not '$expected'"
}
complete -p sixfold >/dev/null || fail "bash does not complete sixfold"
for command in "${commands[@]}"; do
  diff <(completed sixfold $command --) <(options_of "$("$sixfold" $command --help)") ||
    fail "options of $command are completed wrongly"
done
diff <(completed sixfold "" | grep -v '^-') <(commands_of "$("$sixfold" --help)" | sort) ||
  fail "commands are completed wrongly"
completes "remove report results retry" sixfold queue re
completes "rollout" sixfold help ro
mkdir files
(cd files && mkdir folder && touch first.safetensors second.json) || exit 1
cd files || exit 1
completes "first.safetensors folder" sixfold evaluate --net f
completes "first.safetensors" sixfold evaluate --net = fi
completes "folder" sixfold evaluate --cache ""
completes "folder" sixfold queue report --out f
completes "first.safetensors folder" sixfold queue backup --out f
completes "second.json" sixfold lesson s
completes "second.json" sixfold queue add --db first.safetensors s
completes "" sixfold evaluate --position ""
# Words, all of which help names.
words() {
  local command=$1 option=$2 word
  for word in $(completed sixfold "$command" "$option" ""); do
    "$sixfold" "$command" --help | tr '\n' ' ' | grep -qE -- "$option .*$word" ||
      fail "$command $option $word is not in help"
  done
  completes "$3" sixfold "$command" "$option" ""
}
words rollout --isa "avx2 avx512 neon scalar"
words rollout --luck "full net none"
words rollout --score "dmp gammon-go gammon-save money"
words rollout --cube "centred none opponent: roller:"
words train --recipe "full quick refine standard"

# In zsh and fish, where they are.
if command -v zsh >/dev/null; then
  told=$(zsh -fc '
    compdef() {}
    _describe() { print -rl -- $commands }
    _arguments() { print -rl -- "$@" }
    source $1
    for line in "sixfold " "sixfold queue add --" "sixfold rollout --"; do
      words=("${(@s: :)line}")
      CURRENT=$#words
      _sixfold
    done' zsh "$share/zsh/vendor-completions/_sixfold")
  for text in "queue:A night's work" '--db=[' ':FILE:_files' ':DIR:_files -/' '(net full none)'; do
    grep -qF -- "$text" <<<"$told" || fail "zsh is not told of '$text': $told"
  done
fi
if command -v fish >/dev/null; then
  in_fish() {
    fish --no-config -c "source $share/fish/vendor_completions.d/sixfold.fish
      complete -C '$1'" | cut -f 1 | sort
  }
  for command in "${commands[@]}"; do
    diff <(in_fish "sixfold $command --") <(options_of "$("$sixfold" $command --help)") ||
      fail "fish completes options of $command wrongly"
  done
  [ "$(in_fish 'sixfold queue re' | tr '\n' ' ')" = "remove report results retry " ] ||
    fail "fish does not complete the commands of queue"
  [ "$(in_fish 'sixfold evaluate --isa ' | tr '\n' ' ')" = "avx2 avx512 neon scalar " ] ||
    fail "fish does not complete words"
  [ "$(in_fish 'sixfold evaluate --net fi' | tr '\n' ' ')" = "first.safetensors " ] ||
    fail "fish does not complete files"
fi
[ "$failures" -eq 0 ]
