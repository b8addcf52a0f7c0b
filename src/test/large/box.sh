#!/bin/sh
# Prints the plan of a large box, or what was seen of one, for the figures of docs/limits.md:
#   box.sh plan 40x40 diodes     a matrix with a push button at every crossing, with a diode each
#   box.sh plan 17x17            the same without diodes
#   box.sh plan 300              so many direct lines with a push button each
#   box.sh seen 40x40            every button worked once; row 3 and the last button are dead
#   box.sh seen 300              the same; button 7 and the last one are dead
set -eu
[ $# -ge 2 ] || { sed -n '2,7s/^# \{0,1\}//p' "$0" >&2; exit 2; }
awk -v what="$1" -v size="$2" -v diodes="${3:-none}" 'BEGIN {
  matrix = split(size, n, "x") == 2
  rows = matrix ? n[1] : 1
  columns = matrix ? n[2] : size
  wide = matrix ? columns : 30
  if (what == "plan") {
    printf "ringout: 1\nbox: { name: Box of %s, usb: { vendor: 0x1209, product: 0x0001 } }\n", size
    printf "panel: { width: %d mm, height: %d mm }\nlines:\n", 25 * wide + 25, 25 * (matrix ? rows : int((columns + 29) / 30)) + 25
    if (matrix) {
      printf "  rows: {"; for (r = 1; r <= rows; r++) printf "%s R%d: pin %d", (r > 1 ? "," : ""), r, r
      printf " }\n  columns: {"; for (c = 1; c <= columns; c++) printf "%s C%d: pin %d", (c > 1 ? "," : ""), c, rows + c
      printf " }\n"
    } else {
      printf "  direct: {"; for (c = 1; c <= columns; c++) printf "%s D%d: pin %d", (c > 1 ? "," : ""), c, c
      printf " }\n"
    }
    printf "scan: { drive: rows, active: low, direct: ground"
    if (matrix && diodes == "diodes") printf ", diodes: per-contact, cathode: row"
    printf " }\ncontrols:\n"
  } else printf "[ { \"held\": [], \"on\": [] }"
  for (r = 1; r <= rows; r++) for (c = 1; c <= columns; c++) {
    button = (r - 1) * columns + c
    id = matrix ? "b-" r "-" c : "b-" c
    if (what == "plan")
      printf "  - { id: %s, label: Button %d, kind: push, at: %s, input: button %d, place: [%d mm, %d mm], hole: 16 mm, nut: 20 mm }\n",
          id, button, (matrix ? "[R" r ", C" c "]" : "D" c), button, 25 + 25 * ((matrix ? c : button) - 1) % (25 * wide), 25 + 25 * (matrix ? r - 1 : int((button - 1) / wide))
    else {
      dead = matrix && r == 3 || !matrix && c == 7 || button == rows * columns
      printf ",\n  { \"held\": [\"%s\"], \"on\": [%s] },\n  { \"held\": [], \"on\": [] }", id, (dead ? "" : "\"button " button "\"")
    }
  }
  if (what != "plan") print " ]"
}'
