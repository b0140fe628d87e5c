# Sourced by demo.sh and test.sh: installs the packages that are missing, those named in more_packages
# too, and defines how to configure a build. Debian 12; apt needs root or sudo.
set -euo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/.."

packages=(cmake ninja-build g++ libeigen3-dev libpcg-cpp-dev libtbb-dev libfmt-dev
          libboost-math-dev catch2 libcli11-dev nlohmann-json3-dev libsqlite3-dev
          libcpp-httplib-dev pkg-config "${more_packages[@]}")
missing=()
for package in "${packages[@]}"; do
  dpkg-query -W -f '${Status}' "$package" 2>/dev/null | grep -q 'ok installed' || missing+=("$package")
done
if ((${#missing[@]})); then
  echo "Installing ${missing[*]}"
  as_root=()
  [ "$(id -u)" -eq 0 ] || as_root=(sudo)
  "${as_root[@]}" apt-get update -qq
  "${as_root[@]}" env DEBIAN_FRONTEND=noninteractive apt-get install -y -qq "${missing[@]}" >/dev/null
fi

# configure PRESET FOLDER OPTIONS...
configure() {
  cmake -S . -B "$2" -G Ninja -C "tools/presets/$1.cmake" "${@:3}"
}
