"""How names, numbers and dates of birth are brought to the same plain letters before they are compared."""

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cases.patients.search import Word, digits, fold, search_text, words

BORN = date(1950, 3, 12)


@pytest.mark.parametrize(
    ("typed", "folded"),
    [
        ("Müller", "muller"),
        ("MÜLLER", "muller"),
        ("Weiß", "weiss"),
        ("Łukasz", "lukasz"),
        ("Søren", "soren"),
        ("Æsa", "aesa"),
        ("O'Neil", "oneil"),
        ("O’Neil", "oneil"),
        ("Smith-Jones", "smith jones"),
        ("  de   la  Cruz ", "de la cruz"),
        ("Nguyễn", "nguyen"),
        ("İpek", "ipek"),
        ("Иванов", "иванов"),
        ("\x00 \t", ""),
        ("👟", ""),
    ],
)
def test_a_name_is_folded_to_plain_letters(typed: str, folded: str) -> None:
    assert fold(typed) == folded


@given(st.text())
def test_folding_twice_is_folding_once(text: str) -> None:
    assert fold(fold(text)) == fold(text)


@given(st.text(alphabet=st.characters(max_codepoint=0x24F)))
def test_capitals_make_no_difference_in_the_latin_alphabets(text: str) -> None:
    assert fold(text.upper()) == fold(text)


@given(st.text())
def test_what_is_folded_holds_letters_digits_and_single_spaces(text: str) -> None:
    assert all(word.isalnum() for word in fold(text).split(" ") if word)
    assert "  " not in fold(text)


@pytest.mark.parametrize("typed", ["12/03/1950", "12.3.1950", "12-03-1950", "1950-03-12", "1950/3/12"])
def test_a_whole_date_of_birth_is_the_day_it_names(typed: str) -> None:
    (word,) = words(typed)
    assert (word.born_on, word.day_and_month) == ((BORN,), None)


def test_eight_digits_are_a_date_of_birth_or_part_of_a_telephone_number() -> None:
    assert words("12031950") == (Word(needle="12031950", born_on=(BORN,)),)


@pytest.mark.parametrize("typed", ["12.3.50", "12/03/50"])
def test_a_year_of_two_digits_may_be_of_either_century(typed: str) -> None:
    (word,) = words(typed)
    assert word.born_on == (BORN, date(2050, 3, 12))


@pytest.mark.parametrize("typed", ["12/03", "12/03/", "12/3/1", "12.3.195"])
def test_a_date_begun_is_its_day_and_month(typed: str) -> None:
    (word,) = words(typed)
    assert (word.born_on, word.day_and_month) == ((), (12, 3))


def test_a_year_of_two_digits_that_may_be_half_typed_is_its_day_and_month_as_well() -> None:
    (word,) = words("12/03/19")
    assert (word.born_on, word.day_and_month) == ((date(1919, 3, 12), date(2019, 3, 12)), (12, 3))


@pytest.mark.parametrize("typed", ["12 3 1950", "12 03  1950", "12 March 1950", "12 mar 1950", "12 MAR. 1950"])
def test_a_date_of_birth_may_be_parted_by_spaces_and_name_its_month(typed: str) -> None:
    (word,) = words(typed)
    assert word.born_on == (BORN,)


def test_figures_beside_more_figures_are_part_of_a_telephone_number() -> None:
    assert [word.needle for word in words("01 12 29 60")] == ["01", "12", "29", "60"]


def test_a_family_name_that_begins_like_a_month_stays_a_name() -> None:
    assert words("marsh june") == (Word(needle="marsh"), Word(needle="june"))


def test_two_digits_are_a_day_or_a_year_of_birth_as_well() -> None:
    assert words("50") == (Word(needle="50", day=50, years=(1950, 2050)),)


def test_four_digits_may_be_a_year_of_birth() -> None:
    assert words("1950") == (Word(needle="1950", years=(1950,)),)


@pytest.mark.parametrize("typed", ["1950-03", "1950-3-"])
def test_a_year_with_a_month_is_that_month(typed: str) -> None:
    (word,) = words(typed)
    assert word.month_and_year == (3, 1950)


@pytest.mark.parametrize("typed", ["31/02/1950", "99/99/1950", "00/00/0000", "0000-00-00"])
def test_a_day_that_is_not_in_the_calendar_is_nobodys_birthday(typed: str) -> None:
    (word,) = words(typed)
    assert word.born_on == ()


@given(st.dates())
def test_every_day_is_understood_in_every_form(day: date) -> None:
    year = f"{day.year:04d}"
    forms = [
        f"{day.day}/{day.month}/{year}",
        f"{day.day:02d}.{day.month:02d}.{year}",
        f"{year}-{day.month:02d}-{day.day:02d}",
        f"{day.day:02d}{day.month:02d}{year}",
    ]
    assert [word.born_on for form in forms for word in words(form)] == [(day,)] * 4


@pytest.mark.parametrize("typed", ["", " ", "a", " b ", "é", "'", "👟👟", "\x00\x00", "-/"])
def test_nothing_is_looked_for_before_two_letters_or_digits(typed: str) -> None:
    assert words(typed) == ()


def test_two_letters_are_enough() -> None:
    assert words("Ái") == (Word(needle="ai"),)


def test_every_word_stands_for_itself() -> None:
    assert words("smi jo") == (Word(needle="smi"), Word(needle="jo"))


@given(st.text(max_size=300))
def test_whatever_is_typed_becomes_a_few_words_each_of_which_asks_for_something(text: str) -> None:
    found = words(text)
    assert len(found) <= 8
    assert [word for word in found if word.needle == ""] == []


def test_the_search_text_holds_the_names_the_number_and_the_digits_of_the_telephone() -> None:
    text = search_text(given_names="Zoë Anne", family_name="O'Neil", record_number="PW-7", phone="+44 (161) 496 0000")
    assert text == "oneil zoe anne pw 7 441614960000"


@given(st.text())
def test_only_plain_digits_are_digits(text: str) -> None:
    assert set(digits(text)) <= set("0123456789")
