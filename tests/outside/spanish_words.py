"""Prints `English name<TAB>Spanish name` of things and `number<TAB>name` of 0 to 20, outside references
for our Spanish words: emoji names of Unicode CLDR through PyPI emoji, and PyPI num2words.
"""

import sys

try:
    import emoji
    from num2words import num2words
except ImportError:
    sys.exit(
        "The Python packages emoji and num2words are missing: "
        "run `python3 -m pip install -r tests/requirements.txt` first."
    )

emoji.config.load_language("es")
for names in emoji.EMOJI_DATA.values():
    if "es" in names:
        plain = [names[key].strip(":").lower().replace("-", "_") for key in ("en", "es")]
        print("\t".join(name.replace("_", " ") for name in plain))
for number in range(21):
    print(f"{num2words(number)}\t{num2words(number, lang='es')}")
