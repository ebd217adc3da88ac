"""The code on a tag: six random signs and a check sign that finds every slip of one sign.

The signs are Crockford's base 32 (no I, L, O, U), read without regard to case. The check is the
number modulo 37; codes whose check would be one of * ~ $ = are never given out, so that a code is
letters and digits only and its address fits the small alphanumeric QR code.
"""

import unicodedata

#: The 32 signs of the code, in the order of their value. Source: Crockford, Base 32, from memory.
ALPHABET = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"
_CHECKS = ALPHABET + "*~$=U"
_VALUES = {sign: value for value, sign in enumerate(ALPHABET)}
_READ_AS = str.maketrans({"I": "1", "L": "1", "O": "0", "-": None, "‐": None, "–": None})

SIGNS = 6
LENGTH = SIGNS + 1
#: How many different numbers six signs hold.
SPACE = 32**SIGNS


def new_code(random_bits: int) -> str:
    """Return the seven signs for `random_bits`, or "" where the caller must draw again.

    `random_bits` is any whole number from 0, of which the last 30 bits count. Four draws in 37 are
    to be drawn again. Raises ValueError below zero. Source: Crockford, Base 32, from memory.
    """
    if random_bits < 0:
        raise ValueError(f"a tag is made from a number that is not below zero, not from {random_bits}")
    value = random_bits % SPACE
    check = _CHECKS[value % 37]
    if not check.isalnum():
        return ""
    return "".join(ALPHABET[value >> shift & 31] for shift in range(5 * SIGNS - 5, -1, -5)) + check


def read_code(text: str, of: str = "tag") -> str:
    """Return the code written in `text` in its one spelling: upper case, no blanks, no hyphens.

    I and L are read as 1, O as 0. `of` is what bears the code, for the sentence: a tag, a sheet. Raises
    ValueError with a sentence where signs are missing, too many or not of the code, or where the check sign
    does not fit. Source: Crockford, Base 32, from memory.
    """
    plain = "".join(unicodedata.normalize("NFKC", text).split()).upper().translate(_READ_AS)
    shown = plain[:20] + ("…" if len(plain) > 20 else "")
    if not plain:
        raise ValueError(f"There is no {of} code here.")
    if not shown.isprintable():
        raise ValueError(f"There is a sign in this {of} code that cannot be seen. Type the code again.")
    if len(plain) != LENGTH:
        raise ValueError(f"A {of} code has {LENGTH} signs, “{shown}” has {len(plain)}.")
    for sign in plain[:SIGNS]:
        if sign not in _VALUES:
            raise ValueError(f"The sign {sign} is in no {of} code; look at “{shown}” again.")
    value = 0
    for sign in plain[:SIGNS]:
        value = 32 * value + _VALUES[sign]
    if _CHECKS[value % 37] != plain[-1] or not plain[-1].isalnum():
        raise ValueError(f"“{shown}” is no {of} code: its check sign does not fit. Look at the {of} again.")
    return plain
