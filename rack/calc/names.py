"""The searched form of a name: what a serial, a painted number or a tag is compared by."""

import unicodedata


def key_of(text: str) -> str:
    """Return `text` as it is searched: compatibility form, upper case, letters and digits only.

    Takes any text, returns text that may be empty; raises nothing. Source: common practice, so
    that "kd-4101", "KD 4101" and "ＫＤ４１０１" find the same piece.
    """
    plain = unicodedata.normalize("NFKC", text).upper()
    return "".join(letter for letter in plain if letter.isalnum())


def last_first(text: str) -> str:
    """Return `key_of(text)` reversed, so that a search by last digits is a search by prefix.

    Takes any text, returns text; raises nothing. Source: common practice.
    `text` is a name as typed.
    """
    return key_of(text)[::-1]
