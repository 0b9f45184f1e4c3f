"""The characters of Latin blocks as Python's own copy of the Unicode Character Database has them (module
unicodedata): block, code point, category, and the code points of the canonical decomposition."""

import unicodedata

BLOCKS = {
    "Latin-1 Supplement": range(0x00A0, 0x0100),
    "Latin Extended-A": range(0x0100, 0x0180),
    # Vietnamese has its letters with two marks here, and ơ and ư in Extended-B.
    "Vietnamese": [0x01A0, 0x01A1, 0x01AF, 0x01B0, *range(0x1EA0, 0x1EFA)],
    "Romanian": [0x0218, 0x0219, 0x021A, 0x021B],
}

for block, points in BLOCKS.items():
    for point in points:
        sign = chr(point)
        apart = " ".join(f"{ord(part):X}" for part in unicodedata.normalize("NFD", sign))
        print(block, f"{point:X}", unicodedata.category(sign), apart, sep="\t")
