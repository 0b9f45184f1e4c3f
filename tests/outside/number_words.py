"""Prints `n<TAB>name` for 0 to 999 with num2words, an outside reference for our number words.

num2words writes `one hundred and six`; in the United States the `and` is left out.
"""

import sys

try:
    from num2words import num2words
except ImportError:
    sys.exit(
        "The Python package num2words is missing: "
        "run `python3 -m pip install -r tests/requirements.txt` first."
    )

for number in range(1000):
    name = num2words(number, lang="en").replace(" and ", " ")
    print(f"{number}\t{name}")
