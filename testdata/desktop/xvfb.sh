#!/usr/bin/env bash
# The window, really: starts the program under a virtual display on a sample, works in it with pointer and keys, and looks
# at what happened on the screen and on disk.
#   xvfb.sh [BINARY [FOLDER]]   BINARY is built when none is given (or "-"); pictures go to FOLDER (a temporary one)
# Everything is waited for by looking, never by sleeping a fixed time, so that a slow machine is only slow.
# Exit code 0 when all of it holds, 1 with a sentence otherwise. Needs xvfb, xdotool, imagemagick.
set -uo pipefail
root=$(cd "$(dirname "$0")/../.." && pwd)
bin=${1:--}
out=${2:-$(mktemp -d)}
mkdir -p "$out"
rm -f "$out/failed.png"
work=$(mktemp -d)
patience=${PATIENCE:-60} # s for one thing to happen
accent="#0B6E8A"         # of what is selected, on light paper
app="" server=""

fail() {
	echo "window: $*" >&2
	[ -s "$work/log" ] && { echo "--- the program said:"; tail -n 20 "$work/log"; } >&2
	[ -n "$app" ] && import -window root "$out/failed.png" 2>/dev/null && echo "see $out/failed.png" >&2
	exit 1
}
clean() {
	# The program answers no gentle signal while it works; it is not to outlive this script.
	[ -n "$app" ] && kill -9 "$app" 2>/dev/null
	[ -n "$server" ] && kill "$server" 2>/dev/null
	wait 2>/dev/null
	rm -rf "$work"
}
trap clean EXIT

for tool in Xvfb xdotool import convert compare identify; do
	command -v "$tool" >/dev/null || fail "$tool is missing: install xvfb, xdotool and imagemagick"
done
if [ "$bin" = - ]; then
	bin=$work/platewright-desktop
	(cd "$root" && CGO_ENABLED=1 go build -tags "desktop migrated_fynedo" -o "$bin" ./cmd/platewright-desktop) || fail "the program does not build"
fi
[ -x "$bin" ] || fail "$bin is not a program"

# until SECONDS-LONG-CONDITION WHAT: polls a condition.
until_holds() {
	local what=$1
	shift
	local end=$((SECONDS + patience))
	until "$@"; do
		[ $SECONDS -lt $end ] || fail "waited $patience s in vain: $what"
		[ -z "$app" ] || kill -0 "$app" 2>/dev/null || [ "$what" = "the program ends" ] || fail "the program ended while waiting: $what"
		sleep 0.15
	done
}

# A home of its own: no preferences of the person, light paper, hint shown.
export HOME=$work/home XDG_CONFIG_HOME=$work/home/.config LANG=C.UTF-8
mkdir -p "$XDG_CONFIG_HOME/fyne/org.platewright.desktop"
echo '{"paper":"light"}' >"$XDG_CONFIG_HOME/fyne/org.platewright.desktop/preferences.json"
plate=$work/side-plate.plate
# Without its load cases: their analysis takes seconds on a slow machine, and what is waited for here is that nothing moves.
python3 - "$root/samples/cargo-trike-side-plate.plate" "$plate" <<'PY' || fail "the sample cannot be copied"
import json, sys
d = json.load(open(sys.argv[1]))
for key in ("load_cases", "loads", "supports"):
    d.pop(key, None)
json.dump(d, open(sys.argv[2], "w"), indent=2)
PY

Xvfb -displayfd 3 -screen 0 1440x900x24 -nolisten tcp 3>"$work/display" 2>/dev/null &
server=$!
until_holds "the virtual display starts" test -s "$work/display"
export DISPLAY=:$(cat "$work/display")

"$bin" "$plate" >"$work/log" 2>&1 &
app=$!
title() { xdotool getwindowname "$win" 2>/dev/null; }
title_is() { [ "$(title)" = "$1" ]; }
find_window() { win=$(xdotool search --onlyvisible --name Platewright 2>/dev/null | head -n 1); [ -n "$win" ]; }
until_holds "the window appears" find_window
xdotool windowmove "$win" 0 0 windowsize "$win" 1440 900
xdotool windowfocus "$win"
until_holds "the file is open" title_is "side-plate – Platewright"

shot() { import -window root "$out/$1.png" || fail "no picture can be taken"; }
# alive PICTURE: neither blank nor black: many colours, and a mean and spread like ink on paper.
alive() {
	local n mean dev
	n=$(identify -format '%k' "$out/$1.png")
	mean=$(convert "$out/$1.png" -colorspace Gray -format '%[fx:mean]' info:)
	dev=$(convert "$out/$1.png" -colorspace Gray -format '%[fx:standard_deviation]' info:)
	awk -v n="$n" -v m="$mean" -v d="$dev" 'BEGIN { exit !(n > 200 && m > 0.04 && m < 0.99 && d > 0.02) }'
}
# still: two pictures in a row are the same, so nothing is being drawn any more (the cursor's blink apart).
still() {
	import -window root "$work/a.png" && sleep 0.35 && import -window root "$work/b.png" || return 1
	[ "$(differing "$work/a.png" "$work/b.png")" -lt 60 ]
}
# differing A B: the number of pixels that differ.
differing() {
	local n
	n=$(compare -metric AE "$1" "$2" null: 2>&1)
	printf '%.0f' "${n%% *}"
}
view=880x560+240+180 # below the hint, whose words have the selection's colour
# plate_differs A B: the same within the plate view.
plate_differs() {
	convert "$out/$1.png" -crop $view +repage "$work/va.png"
	convert "$out/$2.png" -crop $view +repage "$work/vb.png"
	differing "$work/va.png" "$work/vb.png"
}
# fields_differ A B: the same within the particulars.
fields_differ() {
	convert "$out/$1.png" -crop 280x500+1158+200 +repage "$work/va.png"
	convert "$out/$2.png" -crop 280x500+1158+200 +repage "$work/vb.png"
	differing "$work/va.png" "$work/vb.png"
}
settled_shot() {
	until_holds "the picture $1 comes to rest" still
	shot "$1"
	alive "$1" || fail "the picture $1 is blank or black"
}
full_picture() { shot 1-window && alive 1-window && [ "$(count_colour 1-window "#B9C4CC")" -gt 5000 ]; }
# count_colour PICTURE COLOUR: pixels of exactly that colour.
count_colour() {
	convert "$out/$1.png" -fill black +opaque "$2" -fill white -opaque "$2" -format '%[fx:int(mean*w*h+0.5)]' info:
}
# marked PICTURE: centre of what is drawn in the colour of the selection within the plate view.
marked() {
	convert "$out/$1.png" -crop $view +repage -fill white +opaque "$accent" -trim -format '%w %h %X %Y' info: 2>/dev/null |
		tr -d + | awk '{ if ($1 > 20 && $2 > 20) printf "%d %d\n", 240 + $3 + $1/2, 180 + $4 + $2/2 }'
}

until_holds "the plate is drawn" full_picture
settled_shot 1-window

echo "- a bore is chosen by keys"
xdotool mousemove 1000 700 click 1
xdotool key --clearmodifiers ctrl+3
xdotool mousemove 1000 705 click 1 # empty paper: the view has the focus and nothing is selected
xdotool key Next Next
is_marked() { shot 2-selected && [ -n "$(marked 2-selected)" ]; }
until_holds "the bore is marked" is_marked
settled_shot 2-selected
read -r bx by <<<"$(marked 2-selected)"
[ -n "${by:-}" ] || fail "the marked bore is not found in the picture"

echo "- and dragged by the pointer, from $bx,$by"
dx=40 dy=24
xdotool mousemove "$bx" "$by" mousedown 1
for i in 1 2 3 4 5 6 7 8; do
	xdotool mousemove $((bx + dx * i / 8)) $((by + dy * i / 8))
	sleep 0.05
done
changed_title() { title_is "side-plate (not saved) – Platewright"; }
until_holds "the drag changes the document" changed_title
settled_shot 3-dragging
xdotool mouseup 1
xdotool mousemove 1000 700
settled_shot 4-dragged
moved=$(plate_differs 2-selected 4-dragged)
[ "$moved" -gt 2000 ] || fail "the drag changed only $moved pixels"
read -r mx my <<<"$(marked 4-dragged)"
awk -v a=$((mx - bx - dx)) -v b=$((my - by - dy)) 'BEGIN { exit !(a*a < 37 && b*b < 37) }' ||
	fail "the marked bore went from $bx,$by to $mx,$my, not by $dx,$dy"
echo "  $moved pixels changed"

echo "- one undo takes it back, one redo makes it again"
xdotool key --clearmodifiers ctrl+z
until_holds "undo makes the document clean" title_is "side-plate – Platewright"
settled_shot 5-undone
back=$(plate_differs 2-selected 5-undone)
[ "$back" -lt 300 ] || fail "after undo $back pixels differ from before the drag"
xdotool key --clearmodifiers ctrl+y
until_holds "redo makes the document dirty" changed_title

echo "- arithmetic with a unit is typed into the diameter, and saved"
xdotool key Return Tab Tab Tab
xdotool type --delay 40 "3/8 in + 30"
xdotool key Return
xdotool key --clearmodifiers ctrl+s
saved() { grep -q '"diameter_mm": 39.525' "$plate"; }
until_holds "the file holds the diameter 39.525" saved
until_holds "the document counts as saved" title_is "side-plate – Platewright"
[ -s "$plate~" ] || fail "the previous state of the file was not kept"
settled_shot 6-typed

echo "- a wrong number is refused with a sentence"
xdotool key --clearmodifiers ctrl+a
xdotool type --delay 40 "3 kg"
xdotool key Return
# The sentence pushes what stands below the field down.
refused() { shot 7-refused && [ "$(fields_differ 6-typed 7-refused)" -gt 1500 ]; }
until_holds "the refusal is written" refused
settled_shot 7-refused
xdotool key Escape

echo "- the drawing is exported"
xdotool mousemove 1000 700 click 1
xdotool key --clearmodifiers ctrl+e
sheet() { shot 8-export && [ "$(differing "$out/6-typed.png" "$out/8-export.png")" -gt 60000 ]; }
until_holds "the sheet for the export opens" sheet
settled_shot 8-export
xdotool key --clearmodifiers ctrl+a
xdotool type --delay 20 "$work/top.dxf"
xdotool key Return
until_holds "the drawing is written" test -s "$work/top.dxf"
grep -q OUTLINE "$work/top.dxf" || fail "the drawing has no outline"

echo "- a figure of the ledger opens its table"
xdotool mousemove 130 830 click 1
table() { shot 9-table && [ "$(differing "$out/6-typed.png" "$out/9-table.png")" -gt 60000 ]; }
until_holds "the table opens" table
settled_shot 9-table

echo "- the window asks about unsaved work before it closes, and then closes"
xdotool mousemove 1000 400 click 1
xdotool key --clearmodifiers ctrl+3
xdotool mousemove 270 75 click 1
xdotool key Next Right
until_holds "a nudge changes the document" changed_title
xdotool key --clearmodifiers ctrl+q
asks() { shot 10-question && [ "$(differing "$out/9-table.png" "$out/10-question.png")" -gt 60000 ]; }
until_holds "the question is asked" asks
settled_shot 10-question
kill -0 "$app" 2>/dev/null || fail "the window closed over unsaved work"
xdotool key Return # the focus is on Save
gone() { ! kill -0 "$app" 2>/dev/null; }
until_holds "the program ends" gone
wait "$app"
code=$?
app=""
[ $code -eq 0 ] || fail "the program ended with code $code"
ls -A "$work" | grep -q autosave && fail "an autosave was left behind"
echo "window: all right; pictures in $out"
