#!/usr/bin/env python3
"""Makes this folder's font data: python3 make.py FOLDER, where FOLDER holds NotoSans-Regular.ttf and -Bold.ttf.

The font is Noto Sans 2.004 (SIL Open Font License 1.1, OFL.txt) from Debian's fonts-noto-core, brought to Latin,
Greek and Cyrillic by fontTools. Each weight becomes a .ttf, of which a PDF embeds what it uses, and a .txt with
advances, characters and outlines, so that no font reader is built in. The same font gives the same bytes.
"""

import sys
from pathlib import Path

from fontTools import subset
from fontTools.pens.basePen import BasePen
from fontTools.ttLib import TTFont

RANGES = [
    (0x20, 0x7E), (0xA0, 0x24F), (0x2BB, 0x2BC), (0x2C6, 0x2C7), (0x2D8, 0x2DD), (0x300, 0x304), (0x306, 0x30C),
    (0x323, 0x328), (0x370, 0x3FF), (0x400, 0x45F), (0x490, 0x4FF), (0x1E00, 0x1EFF), (0x2010, 0x2015),
    (0x2018, 0x201E), (0x2020, 0x2022), (0x2026, 0x2026), (0x2030, 0x2030), (0x2032, 0x2033), (0x2039, 0x203A),
    (0x20AC, 0x20AC), (0x2116, 0x2116), (0x2122, 0x2122), (0x2212, 0x2212),
]
HEAD = """# Noto Sans {weight} 2.004 (Copyright 2015 Google LLC; SIL Open Font License 1.1, see OFL.txt beside this file).
# Made by make.py. One glyph a line: its number in the .ttf, advance, its characters in hexadecimal or -, outline:
# M, L, Q, Z as in SVG, in thousandths of an em, y upwards; C glyph dx dy is another glyph's outline, moved.
"""


class Outline(BasePen):
    """Writes an outline; a part taken from another glyph stays a reference."""

    def __init__(self, font):
        super().__init__(font.getGlyphSet())
        self.font, self.parts = font, []

    def add(self, letter, *points):
        self.parts.append(letter + " ".join(f"{x:g} {y:g}" for x, y in points))

    def _moveTo(self, p):
        self.add("M", p)

    def _lineTo(self, p):
        self.add("L", p)

    def _qCurveToOne(self, c, p):
        self.add("Q", c, p)

    def _closePath(self):
        self.add("Z")

    def addComponent(self, name, transformation):
        a, b, c, d, dx, dy = transformation
        if (a, b, c, d) == (1, 0, 0, 1):
            self.parts.append(f"C{self.font.getGlyphID(name)} {round(dx)} {round(dy)}")
        else:
            super().addComponent(name, transformation)


def make(folder, weight):
    options = subset.Options(
        layout_features=[], hinting=False, notdef_outline=True, name_IDs=[0, 1, 2, 3, 4, 5, 6, 13, 14],
        drop_tables=["GDEF", "GPOS", "GSUB", "GSTR", "DSIG", "STAT", "MATH", "meta"], recalc_timestamp=False,
    )
    font = subset.load_font(Path(folder) / f"NotoSans-{weight}.ttf", options)
    assert font["head"].unitsPerEm == 1000
    subsetter = subset.Subsetter(options)
    subsetter.populate(unicodes=[c for first, last in RANGES for c in range(first, last + 1)])
    subsetter.subset(font)
    name = f"noto_sans_{weight.lower()}"
    subset.save_font(font, f"{name}.ttf", options)
    font = TTFont(f"{name}.ttf")
    characters = {}
    for code, glyph in font.getBestCmap().items():
        characters.setdefault(glyph, []).append(f"{code:04x}")
    lines = []
    for number, glyph in enumerate(font.getGlyphOrder()):
        pen = Outline(font)
        font.getGlyphSet()[glyph].draw(pen)
        codes = ",".join(sorted(characters.get(glyph, []))) or "-"
        lines.append(f"{number} {font['hmtx'][glyph][0]} {codes} {' '.join(pen.parts)}".rstrip())
    Path(f"{name}.txt").write_text(HEAD.format(weight=weight) + "\n".join(lines) + "\n")


if __name__ == "__main__":
    for weight in ("Regular", "Bold"):
        make(sys.argv[1], weight)
