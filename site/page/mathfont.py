#!/usr/bin/env python3
"""Cuts assets/math.woff2, the font of equations, out of TeX Gyre Schola Math.

MathML needs a font with an OpenType MATH table for roots and brackets that grow. Telephones often have none, so
the site brings one: only the characters that site/equation can write, 40 KB, loaded by pages with equations alone.

    apt-get install fonts-texgyre-math python3-fonttools python3-brotli
    /usr/bin/python3 site/page/mathfont.py \
        /usr/share/texmf/fonts/opentype/public/tex-gyre-math/texgyreschola-math.otf site/page/assets/math.woff2
"""
import sys
from fontTools import subset
from fontTools.ttLib import TTFont

SIGNS = "°±´µ·×÷¯¨ˇ˘˙′…⋯⋮⋱∂∇∞ℓℏıȷ∠∑∏∫∬∮⋅∓∗∘•∪∩∖∧∨⊕⊗⊙≈≤≥≠≡∼≃≅∝≪≫∈∉∋⊂⊆⊃⊇⊥∥∣≐≲≳≔→←↔⇒⇐⇔↦↑↓∀∃¬−⟨⟩⌊⌋⌈⌉‖⏞⏟√–’"
WANTED = (
    set(range(0x20, 0x7F)) | {0xA0, 0x210E} | set(map(ord, SIGNS))  # h's place in the italic alphabet is U+210E
    | set(range(0x391, 0x3AA)) | set(range(0x3B1, 0x3CA)) | {0x3D1, 0x3D5, 0x3D6, 0x3F1, 0x3F5}  # Greek, upright
    | set(range(0x1D434, 0x1D468)) | set(range(0x1D6FC, 0x1D71C))  # italic: Latin, and Greek in lower case
    | set(range(0x1D400, 0x1D434))  # bold Latin, for vectors
)
# MathML draws bars over and under with these two; the font can stretch only the combining characters.
BARS = {0x203E: 0x305, 0x5F: 0x332}
WANTED |= set(BARS) | {0x338}

font = TTFont(sys.argv[1])
glyphs = font.getBestCmap()
for table in font["cmap"].tables:
    if table.isUnicode() and table.format in (4, 12):
        table.cmap.update({bar: glyphs[like] for bar, like in BARS.items()})

options = subset.Options(flavor="woff2", hinting=False, desubroutinize=True, layout_features=[], glyph_names=False)
options.drop_tables += ["GPOS", "GSUB", "FFTM"]
cutter = subset.Subsetter(options)
cutter.populate(unicodes=WANTED)
cutter.subset(font)

# The licence asks that a changed font doesn't go by its old name.
names = {1: "Turnplate Math", 2: "Regular", 3: "Turnplate Math", 4: "Turnplate Math", 6: "TurnplateMath-Regular"}
for record in list(font["name"].names):
    if record.nameID in names:
        record.string = names[record.nameID]
    elif record.nameID not in (0, 13, 14):
        font["name"].removeNames(record.nameID)
font["CFF "].cff.fontNames = ["TurnplateMath-Regular"]
top = font["CFF "].cff.topDictIndex[0]
top.FullName = top.FamilyName = "Turnplate Math"
font["head"].modified = font["head"].created  # no clock: the same font gives the same bytes
font.recalcTimestamp = False
subset.save_font(font, sys.argv[2], options)
