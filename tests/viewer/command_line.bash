#!/bin/bash
# The viewer's command line from outside: exit codes, one-line reasons, nothing half-written.
#   command_line.bash COILWRIGHT-VIEW JOB
set -uo pipefail
view=$1 job=$2
folder=$(mktemp -d)
trap 'rm -rf "$folder"' EXIT
unset DISPLAY
failures=0

expect() { # code, words that must be said, arguments…
  local code=$1 words=$2 said got
  shift 2
  said=$(timeout 120 "$view" "$@" 2>&1)
  got=$?
  if [[ $got -ne $code || $said != *"$words"* ]]; then
    echo "FAILED: coilwright-view $*"
    echo "  exit code $got, expected $code; expected the words: $words"
    echo "  said: $said"
    failures=$((failures + 1))
  fi
}
one_line() {
  local said
  said=$(timeout 120 "$view" "$@" 2>&1)
  [[ $(wc -l <<<"$said") -eq 1 ]] || { echo "FAILED: more than one line from $*: $said"; failures=$((failures + 1)); }
}

expect 4 "DISPLAY is not set" view "$job"
one_line view "$job"
DISPLAY=:4711 expect 4 ":4711" view "$job"
expect 2 "-o FILE.png" picture "$job"
expect 2 "" picture "$job" -o "$folder/a.png" --no-such-option
expect 5 "cannot be written" picture "$job" -o "$folder/no/such/folder.png"
expect 3 "400 to 8192" picture "$job" -o "$folder/a.png" --size 20000x20000
expect 3 "iso, top, front and side" picture "$job" -o "$folder/a.png" --view behind
expect 3 "--fed" picture "$job" -o "$folder/a.png" --fed 12
expect 3 "all of it is through" picture "$job" -o "$folder/a.png" --fed '900 m'
expect 5 "" picture "$folder/no-such-job.toml" -o "$folder/a.png"
[[ -z $(ls -A "$folder") ]] || { echo "FAILED: something was left behind: $(ls -A "$folder")"; failures=$((failures + 1)); }

expect 0 "lear" picture "$job" -o "$folder/a.png" --size 640x400
expect 0 "" picture "$job" -o "$folder/b.png" --size 640x400 --quiet
cmp -s "$folder/a.png" "$folder/b.png" || { echo "FAILED: two pictures of one job differ"; failures=$((failures + 1)); }
[[ $(head -c 4 "$folder/a.png" | tail -c 3) == PNG ]] || { echo "FAILED: not a PNG"; failures=$((failures + 1)); }
# A part that cannot be made is shown by itself, and the answer is no.
expect 1 "Cannot be rolled so" picture --radius '90 mm' --pitch '30 mm' --turns 10 --climbs clockwise --tube '12x1 mm' \
  --material S235 -o "$folder/c.png" --size 640x400
[[ -s $folder/c.png ]] || { echo "FAILED: no picture of the part by itself"; failures=$((failures + 1)); }
exit $((failures > 0))
