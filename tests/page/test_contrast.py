"""Contrast of every pair of ink and ground that the planning page puts on each other, by day and by night.

Ratios by WCAG 2.2 (relative luminance, 1.4.3 for text: 4.5; 1.4.11 for marks and borders of controls: 3). Colours
are read from the style sheet; what is mixed there (stripes, dimmed words) is mixed here likewise, in sRGB."""

import re
import sys
from pathlib import Path

STYLE = (Path(__file__).resolve().parents[2] / "src/live/page/style.css").read_text()
TEXT, MARK = 4.5, 3.0
failed = 0


def check(name, holds, *facts):
    global failed
    print(("ok - " if holds else "not ok - ") + name)
    if not holds:
        failed += 1
        print("   ", *facts, file=sys.stderr)


def block(opening):
    """Custom colours of the rule that begins with `opening`."""
    body = STYLE[STYLE.index(opening) + len(opening):]
    return dict(re.findall(r"--([a-z0-9-]+): (#[0-9a-f]{6});", body[:body.index("}")]))


def channels(colour):
    return [int(colour[i:i + 2], 16) for i in (1, 3, 5)]


def luminance(colour):
    def linear(c):
        c /= 255
        return c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4

    r, g, b = map(linear, channels(colour))
    return 0.2126 * r + 0.7152 * g + 0.0722 * b


def contrast(one, other):
    a, b = sorted((luminance(one), luminance(other)), reverse=True)
    return (a + 0.05) / (b + 0.05)


def mixed(one, other, part):
    """color-mix(in srgb, one part, other)."""
    return "#" + "".join(f"{round(a * part + b * (1 - part)):02x}" for a, b in zip(channels(one), channels(other)))


# Known answers first: black on white is 21, and #767676 on white is the grey that just passes, 4.54 (W3C, G18).
check("contrast is that of WCAG", abs(contrast("#000000", "#ffffff") - 21) < 1e-9 and abs(contrast("#767676", "#ffffff") - 4.54) < 0.005)

day = block(":root {")
night = {**day, **block(":root[data-look=night] {")}
dark = block(":root:not([data-look=day]) {")
check("night by choice and night by the system are the same", dark == block(":root[data-look=night] {"), dark)
check("night gives every colour of the day a value of its own", set(dark) == set(day), set(dark) ^ set(day))

WORDS = [
    ("ink", "paper"), ("soft", "paper"), ("need", "paper"), ("good", "paper"), ("ink", "paper2"), ("soft", "paper2"), ("ink", "slip"),
    ("paper", "ink"), ("paper", "need"), ("land-ink", "land"), ("land-ink", "paper"), ("on-table", "table"), ("ink", "w0"),
]
LINES = [("mark", "paper"), ("mark", "slip"), ("need", "paper"), ("land-ink", "land"), ("land-ink", "w0"), ("mark", "w0"), ("ink", "land"),
         ("nofix", "nofix-ground"), ("mark", "table")]

for look, c in (("day", day), ("night", night)):
    for ink, ground in WORDS:
        ratio = contrast(c[ink], c[ground])
        check(f"{look}: words in {ink} on {ground}, {ratio:.1f}", ratio >= TEXT)
    for ink, ground in LINES:
        ratio = contrast(c[ink], c[ground])
        check(f"{look}: marks in {ink} on {ground}, {ratio:.1f}", ratio >= MARK)
    for tint in [f"w{i}" for i in range(7)]:
        ratio = max(contrast(c["ink"], c[tint]), contrast(c["paper"], c[tint]))
        check(f"{look}: soundings on {tint}, in the better of ink and paper, {ratio:.1f}", ratio >= TEXT)
    for kind in ("need", "good", "ink", "soft"):
        stripe = mixed(c[kind], c["paper"], 0.16)
        check(f"{look}: a stamp of an estimate, {kind} on its stripes", contrast(c[kind], stripe) >= TEXT, contrast(c[kind], stripe))
    dimmed = mixed(c["on-table"], c["table"], 0.8)
    check(f"{look}: an instrument that is off, still read", contrast(dimmed, c["table"]) >= MARK, contrast(dimmed, c["table"]))
    steps = [contrast(c[f"w{i}"], c[f"w{i + 1}"]) for i in range(6)]
    lights = [luminance(c[f"w{i}"]) for i in range(7)]
    check(f"{look}: tints go one way in lightness", lights in (sorted(lights), sorted(lights, reverse=True)), steps)
sys.exit(1 if failed else 0)
