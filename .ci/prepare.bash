# shellcheck shell=bash disable=SC2034
# Sourced by samples/run and tests/run from the top folder: installs what is missing, builds, plans the
# sample handrail. Made for Debian 12.

# Package, and what it is for.
packages_to_calculate=(
  "g++|compiles the program"
  "cmake|configures the build"
  "ninja-build|runs the build"
  "ccache|makes a second build fast"
  "libeigen3-dev|vectors and matrices"
  "libboost-dev|quadrature"
  "libexpected-dev|values that come with the reasons why there is none"
  "libtomlplusplus-dev|reads job and machine files"
  "nlohmann-json3-dev|writes JSON"
  "pkg-config|tells the build where cairo is"
  "libcairo2-dev|draws charts and sheets as SVG, PNG, PDF"
  "fonts-dejavu-core|the letters on them"
  "libcli11-dev|reads the command line"
  "catch2|the tests"
)
packages_to_build=(
  "${packages_to_calculate[@]}"
  "libvtk9-dev|the picture and the window (large: about 240 packages with what it leans on)"
  "libegl-dev|the picture without a display"
  "libgl1-mesa-dri|draws in software where there is no graphics card"
  "libx11-dev|asks for a display before a window opens"
)
packages_to_test=(
  "xvfb|a display without a screen, for the tests of the window"
  "xauth|lets the tests talk to that display"
  "xdotool|presses keys in the window under test"
)

fail() {
  echo "$1" >&2
  exit "${2:-1}"
}

# Leaves in `install_wanted` whether packages may be installed.
read_options() {
  install_wanted=yes
  local option
  for option in "$@"; do
    case $option in
      --no-install) install_wanted=no ;;
      -h | --help)
        echo "usage: $0 [--no-install]"
        echo "  --no-install   install no packages; say what is missing and try with what is there"
        exit 0
        ;;
      *) fail "$0: unknown option '$option'; the only one is --no-install" 2 ;;
    esac
  done
}

list_packages() {
  local entry
  for entry in "$@"; do printf '  %-20s %s\n' "${entry%%|*}" "${entry#*|}"; done
}

install_missing() {
  if ! command -v dpkg-query >/dev/null || ! command -v apt-get >/dev/null; then
    echo "This is not Debian: nothing is installed. What is needed, by its Debian name:"
    list_packages "$@"
    return
  fi
  local entry missing=()
  for entry in "$@"; do
    dpkg-query -W -f='${db:Status-Status}\n' "${entry%%|*}" 2>/dev/null | grep -qx installed ||
      missing+=("$entry")
  done
  ((${#missing[@]})) || return 0

  echo "Missing packages, ${#missing[@]} of $#:"
  list_packages "${missing[@]}"
  local as_root=() names=("${missing[@]%%|*}")
  [[ $EUID -eq 0 ]] || as_root=(sudo)
  local command="${as_root[*]} apt-get install --no-install-recommends ${names[*]}"
  if [[ $install_wanted == no ]]; then
    echo "Not installed, as asked. To install them: ${command# }"
    return
  fi
  [[ $EUID -eq 0 ]] || command -v sudo >/dev/null ||
    fail "Installing needs root and there is no sudo. As root: ${command# }"

  mkdir -p build
  local log=build/install.log apt=("${as_root[@]}" env DEBIAN_FRONTEND=noninteractive apt-get
    -q -y -o DPkg::Lock::Timeout=300)
  local install=("${apt[@]}" install --no-install-recommends "${names[@]}")
  echo "Installing them with '${command# }'; this can take some minutes, and $log tells how it goes."
  : >"$log"
  # The package lists are fetched where they do not know a package, or know versions that are gone.
  if ! apt-cache show "${names[@]}" >/dev/null 2>&1 || ! "${install[@]}" >>"$log" 2>&1; then
    "${apt[@]}" update >>"$log" 2>&1 || echo "Fetching the package lists failed; trying with those here."
    "${install[@]}" >>"$log" 2>&1 || {
      tail -n 20 "$log" >&2
      fail "apt-get could not install them; the whole story is in $log."
    }
  fi
}

# Builds the targets named, or everything.
build() {
  build_preset release "$@"
}
build_preset() {
  command -v cmake >/dev/null || fail "There is no cmake to build with."
  local preset=$1
  shift
  cmake --preset "$preset"
  cmake --build --preset "$preset" ${1:+--target "$@"}
}

# Exit code 1 is an answer, "no" or "too close to say"; anything above is a failure.
answer() {
  local code=0
  "$@" || code=$?
  ((code <= 1)) || fail "'$*' failed with exit code $code."
  return "$code"
}

plan_sample() {
  local job=samples/spiral-handrail.toml out=samples/out/spiral-handrail program=build/release/bin/coilwright
  mkdir -p samples/out
  rm -f "$out".{txt,json,png}
  local verdict="yes: it can be made as asked and clears the machine"
  answer "$program" plan "$job" -o "$out.txt" ||
    verdict="no, or too close to say (exit code 1): the plan says why and what would help"
  answer "$program" plan "$job" --json -o "$out.json" || true
  answer "$program" picture "$job" -o "$out.png" || true
  local ending
  for ending in txt json png; do
    [[ -s $out.$ending ]] || fail "$out.$ending was not written."
  done
  echo
  echo "Planned $job. The answer is $verdict."
  echo "  $PWD/$out.txt    the plan to read: settings, order of work, what to watch"
  echo "  $PWD/$out.json   the same plan for programs"
  echo "  $PWD/$out.png    the picture: the coil on the machine, coloured by clearance"
}
