#!/bin/bash
# Opens the real window on a display without a screen, feeds the part with keys and the mouse, saves a
# picture, and leaves. Everything under a time limit.
#   real_window.bash COILWRIGHT-VIEW
set -uo pipefail
view=$(readlink -f "$1")
for tool in xvfb-run xdotool timeout; do
  command -v "$tool" >/dev/null || { echo "skipped: $tool is not installed"; exit 77; }
done
folder=$(mktemp -d)
trap 'rm -rf "$folder"' EXIT
cd "$folder" || exit 1

cat >play.bash <<'PLAY'
set -u
"$1" view --radius '800 mm' --pitch '2700 mm' --turns 1.1 --climbs counter-clockwise --tube '42.4x2.6 mm' --material S235 &
program=$!
for _ in $(seq 100); do
  window=$(xdotool search --onlyvisible --name . 2>/dev/null | head -1)
  [[ -n $window ]] && break
  kill -0 $program 2>/dev/null || { echo "it ended before a window came"; exit 1; }
  sleep 0.2
done
[[ -n ${window:-} ]] || { echo "no window came"; kill $program; exit 1; }
# Keys go to the window under the pointer where there is no window manager.
xdotool mousemove --window "$window" 700 400
sleep 1
press() { xdotool key --window "$window" "$1"; sleep 0.4; }
for key in 2 Home Right Right s; do press "$key"; done
for _ in $(seq 50); do ls ./*-1.png >/dev/null 2>&1 && break; sleep 0.2; done
press End; press s
for _ in $(seq 50); do ls ./*-2.png >/dev/null 2>&1 && break; sleep 0.2; done
press q
for _ in $(seq 50); do kill -0 $program 2>/dev/null || break; sleep 0.2; done
if kill -0 $program 2>/dev/null; then echo "q did not end it"; kill $program; exit 1; fi
wait $program
echo "exit code $?"
PLAY

said=$(timeout 150 xvfb-run -a -s "-screen 0 1400x900x24" bash play.bash "$view" 2>&1)
code=$?
echo "$said"
[[ $code -eq 0 ]] || { echo "FAILED: exit code $code"; exit 1; }
[[ $said == *"exit code 0"* ]] || { echo "FAILED: the window did not end with the answer yes"; exit 1; }
one=$(ls ./*-1.png 2>/dev/null) two=$(ls ./*-2.png 2>/dev/null)
[[ -s $one && -s $two ]] || { echo "FAILED: s saved no pictures"; exit 1; }
cmp -s "$one" "$two" && { echo "FAILED: feeding changed nothing"; exit 1; }
exit 0
