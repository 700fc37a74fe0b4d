"""What a browser would send from a page, read from its HTML."""

from html.parser import HTMLParser
from typing import Any


class _Filled(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.sent: dict[str, Any] = {}
        self._select = ""
        self._textarea = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = dict(attrs)
        name = given.get("name") or ""
        if (
            tag == "input"
            and name
            and "disabled" not in given
            and (given.get("type") != "checkbox" or "checked" in given)
        ):
            self.sent[name] = given.get("value") or ("on" if given.get("type") == "checkbox" else "")
        elif tag == "select":
            self._select = name
            self.sent[name] = ""
        elif tag == "option" and self._select and "selected" in given:
            self.sent[self._select] = given.get("value") or ""
        elif tag == "textarea":
            self._textarea = name
            self.sent[name] = ""

    def handle_endtag(self, tag: str) -> None:
        if tag == "select":
            self._select = ""
        elif tag == "textarea":
            self._textarea = ""

    def handle_data(self, data: str) -> None:
        if self._textarea:
            self.sent[self._textarea] += data.strip()


def filled_in(html: str) -> dict[str, Any]:
    """The fields of a page as they stand, without its sign and its own number, so that it can be sent more than once."""
    parser = _Filled()
    parser.feed(html)
    return {name: value for name, value in parser.sent.items() if name not in {"csrfmiddlewaretoken", "submission"}}
