"""Walking the program: its addresses, its models, its files."""

import ast
from collections.abc import Iterator
from pathlib import Path

from django.apps import apps
from django.db.models import Model
from django.urls import URLPattern, URLResolver, get_resolver

ROOT = Path(__file__).resolve().parents[2]
PACKAGES = ("shared", "workshop", "cases", "demo")


def url_patterns(resolver: URLResolver | None = None) -> Iterator[URLPattern]:
    """Every address of the program."""
    for entry in (resolver or get_resolver()).url_patterns:
        if isinstance(entry, URLResolver):
            yield from url_patterns(entry)
        else:
            yield entry


def own_models() -> list[type[Model]]:
    """Every model of the project itself."""
    return [model for model in apps.get_models() if model.__module__.split(".")[0] in PACKAGES]


def source_files(*, tests: bool = False) -> list[Path]:
    """Every Python file of the project, migrations left out."""
    folders = (*PACKAGES, "tests") if tests else PACKAGES
    return sorted(
        path for folder in folders for path in (ROOT / folder).rglob("*.py") if "migrations" not in path.parts
    )


def functions(path: Path) -> Iterator[ast.FunctionDef | ast.AsyncFunctionDef]:
    """Every function of a file."""
    for node in ast.walk(ast.parse(path.read_text())):
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
            yield node
