"""A tag is read back whatever the hand makes of it, and a wrong sign never opens another joint."""

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from rack.calc.tags import ALPHABET, LENGTH, SPACE, new_code, read_code

CODES = st.integers(0, SPACE - 1).map(new_code).filter(bool)


@pytest.mark.parametrize(
    "bits, code",
    [
        (0, "0000000"),
        (1, "0000011"),
        (31, "00000ZZ"),
        (32, ""),  # its check would be *
        (33, ""),  # ~
        (34, ""),  # $
        (35, ""),  # =
        (36, "000014U"),
        (37, "0000150"),
        (1234, "00016JD"),
        (SPACE, "0000000"),
        (SPACE + 1, "0000011"),
    ],
)
def test_a_code_is_six_signs_and_the_rest_by_37(bits: int, code: str) -> None:
    assert new_code(bits) == code


def test_a_code_is_made_of_nothing_below_zero() -> None:
    with pytest.raises(ValueError, match="not below zero"):
        new_code(-1)


def test_four_draws_in_37_are_drawn_again() -> None:
    assert sum(not new_code(bits) for bits in range(3700)) == 400


@given(CODES)
def test_a_code_is_letters_and_digits_that_qr_packs_small(code: str) -> None:
    assert len(code) == LENGTH
    assert set(code) <= set(ALPHABET + "U")


@given(CODES)
def test_a_code_reads_back_as_itself(code: str) -> None:
    assert read_code(code) == code
    assert read_code(f" {code[:3].lower()}-{code[3:].lower()} ") == code


@pytest.mark.parametrize("typed", ["000o0ii", "OOOOOLl", "0000 011", "０００００１１", "000–0011"])
def test_what_looks_alike_reads_alike(typed: str) -> None:
    assert read_code(typed) == "0000011"


@given(CODES, st.integers(0, LENGTH - 1), st.sampled_from(ALPHABET + "U"))
def test_one_wrong_sign_is_always_found(code: str, place: int, sign: str) -> None:
    assume(code[place] != sign)
    with pytest.raises(ValueError, match="tag code"):
        read_code(code[:place] + sign + code[place + 1 :])


@given(CODES, st.integers(0, LENGTH - 3))
def test_two_neighbours_that_changed_places_are_always_found(code: str, place: int) -> None:
    assume(code[place] != code[place + 1])
    with pytest.raises(ValueError, match="check sign does not fit"):
        read_code(code[:place] + code[place + 1] + code[place] + code[place + 2 :])


@pytest.mark.parametrize(
    "typed, says",
    [
        ("", "no tag code here"),
        (" - ", "no tag code here"),
        ("00000", "has 7 signs, “00000” has 5"),
        ("00000111", "has 8"),
        ("0000U11", "The sign U"),
        ("00000!1", "The sign !"),
        ("0000012", "check sign does not fit"),
        ("000010*", "check sign does not fit"),
        ("0000\x0011", "cannot be seen"),
    ],
)
def test_what_is_no_code_is_refused_with_a_sentence(typed: str, says: str) -> None:
    with pytest.raises(ValueError, match="[.]$") as refused:
        read_code(typed)
    assert says in str(refused.value)


@given(st.text(max_size=12))
def test_any_text_is_a_code_or_refused(text: str) -> None:
    try:
        code = sentence = read_code(text)
    except ValueError as wrong:
        code, sentence = "", str(wrong)
    assert sentence
    assert sentence.isprintable()
    assert code == "" or read_code(code) == code
