"""Sizes, words and traps that a reviewer should not have to look for."""

import ast
import re
from pathlib import Path

import pytest

from tests.architecture.walk import ROOT, functions, source_files

LONGER_FILES: dict[str, str] = {}
LONGER_FUNCTIONS: dict[str, str] = {}


def name_of(path: Path) -> str:
    return str(path.relative_to(ROOT))


def test_files_are_read_in_one_sitting() -> None:
    long = {name_of(path) for path in source_files() if len(path.read_text().splitlines()) > 400}
    assert long == set(LONGER_FILES)


def test_functions_stay_short() -> None:
    long = {
        f"{name_of(path)}:{function.name}"
        for path in source_files()
        for function in functions(path)
        if (function.end_lineno or 0) - function.lineno + 1 > 40
    }
    assert long == set(LONGER_FUNCTIONS)


def test_no_context_manager_is_called_without_with() -> None:
    """`django_assert_num_queries(3)` as a statement of its own asserts nothing."""
    bare = [
        f"{name_of(path)}:{node.lineno}"
        for path in source_files(tests=True)
        for node in ast.walk(ast.parse(path.read_text()))
        if isinstance(node, ast.Expr)
        and isinstance(node.value, ast.Call)
        and getattr(node.value.func, "id", getattr(node.value.func, "attr", ""))
        in {"django_assert_num_queries", "django_assert_max_num_queries", "assertNumQueries", "raises", "acting"}
    ]
    assert bare == []


WORDS_THAT_CONFUSE = {
    r"\boutside\b": "lateral, on the sole, or underfoot",
    r"\binside\b": "medial, in-shoe, or closed in",
    r"\bdepartures?\b": "difference",
    r"\bheel counter\b(?! *\))": "stiffener",
}
SAID_ON_PURPOSE = {"hand inside"}

SCREENS = sorted((ROOT / "templates").rglob("*.html"))


@pytest.mark.parametrize("template", SCREENS, ids=name_of)
def test_no_screen_uses_a_word_that_confuses_sides_or_parts(template: Path) -> None:
    text = re.sub(r"{[%#].*?[%#]}|<!--.*?-->", " ", template.read_text(), flags=re.DOTALL).lower()
    for phrase in SAID_ON_PURPOSE:
        text = text.replace(phrase, "")
    found = [word for word in WORDS_THAT_CONFUSE if re.search(word, text)]
    assert found == []


@pytest.mark.parametrize("template", SCREENS, ids=name_of)
def test_no_template_carries_inline_script_or_style(template: Path) -> None:
    text = template.read_text()
    assert re.findall(r"<style|<script(?![^>]*\bsrc=)|\sstyle=|\son[a-z]+=|hx-on|javascript:", text) == []


SHARED_BY_ALL = {"apps", "models", "__init__"}


def test_whatever_is_shared_is_used_by_two_rooms_or_stands_around_all() -> None:
    """`shared` is no place for one room's own things, nor for things nobody needs."""
    users: dict[str, set[str]] = {}
    for path in source_files():
        room = "/".join(path.relative_to(ROOT).parts[:2])
        for module in re.findall(r"shared(?:\.\w+)+", path.read_text()):
            users.setdefault(module.split(".")[1], set()).add(room)
    files = {path.stem if path.is_file() else path.name for path in (ROOT / "shared").iterdir()}
    mine = {name for name in files if not name.startswith("_") and name not in {"migrations", "templatetags"}}
    lonely = {name for name in mine - SHARED_BY_ALL if len(users.get(name, set())) < 1}
    assert lonely == set()
