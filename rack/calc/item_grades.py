"""A grade as lists write it: the standard one, or kept as typed with the likeliest one beside it."""

import re
import unicodedata

from rack.calc.checks import Problem, asks, note, stops
from rack.calc.item_words import CASING_GRADES, DRILL_PIPE_GRADES, GRADE_LETTERS, GRADES

#: Room for a grade in the register.
_LONGEST = 20


def plain(text: str) -> str:
    """Return `text` with fractions written out, one kind of dash and quote, single blanks.

    Takes any text, raises nothing. Source: Unicode.
    """
    spread = "".join(
        f" {unicodedata.normalize('NFKC', sign)} "
        if unicodedata.decomposition(sign).startswith("<fraction>")
        else sign
        for sign in text
    )
    form = unicodedata.normalize("NFKC", spread).replace("⁄", "/")
    form = re.sub("[‐‑‒–—−]", "-", form)
    form = re.sub("[′’‘´`]", "'", re.sub("[″”“„]", '"', form)).replace("''", '"')
    return re.sub(r"\s+", " ", form).strip()


def read_grade(text: str) -> tuple[str, tuple[Problem, ...]]:
    """Return a grade in its plain spelling: "S 135", "S-135" and "s135" are "S135".

    A grade that is not known is kept as typed and asked about, with a guess where there is one.
    `text` is the grade as typed. Raises nothing. Source: the grades of the tables; spellings are common
    practice.
    """
    form = re.sub(r"^(?:grade|gr|güte|stahl)\b\.?:?\s*", "", plain(text), flags=re.IGNORECASE)
    key = re.sub(r"[^A-Z0-9]", "", form.upper())
    if key in GRADES:
        said = f"Grade “{text}” is read as {key}."
        return key, () if _PLAIN_GRADE.fullmatch(form) else (note(said, code="grade"),)
    if len(form) > _LONGEST:
        return "", (stops(f"Grade “{form[:40]}…” is too long to be a grade.", code="grade"),)
    guess = GRADE_LETTERS.get(key) or _grade_like(key) or _grade_in(form)
    words = f" {guess}, perhaps?" if guess else ""
    return form, (asks(f"Grade “{text}” is not known and is kept as typed.{words}", code="grade"),)


#: A grade as people write it when nothing slipped: letters and figures with a dash, point or blank between.
_PLAIN_GRADE = re.compile(r"[A-Za-z0-9]+(?:[ .-]?[A-Za-z0-9]+)*\.?")


def _grade_in(form: str) -> str:
    """Return the one standard grade that a maker's name, a service or a sign beside it hides, else ""."""
    found = re.findall(r"([A-Z]{1,5})[\W_]*([0-9O]{2,3})(?![0-9])", form.upper())
    likely = {
        f"{letters.removesuffix('HC')[-1:]}{figures.replace('O', '0')}" for letters, figures in found
    } & (CASING_GRADES | DRILL_PIPE_GRADES)
    marked = re.findall(r"(?<![A-Z])(?:HC)?([A-Z])(?:HC)?[\W_]*(\d{2,3})(?!\d)", form.upper())
    likely |= {f"{letter}{figures}" for letter, figures in marked} & (CASING_GRADES | DRILL_PIPE_GRADES)
    return min(likely) if len(likely) == 1 else ""


def _grade_like(key: str) -> str:
    zeroed = key.replace("O", "0").replace("I", "1")
    if zeroed in GRADES:
        return zeroed
    same = [grade for grade in sorted(GRADES) if key.isdigit() and grade[1:] == key and grade[0] in "EXGSPQ"]
    return same[0] if len(same) == 1 else ""
