"""Plain fields of a form written without a template each: a draft's page has three hundred of them.

They say what Django's own templates say, attribute by attribute; what is not plain is left to those.
"""

from collections.abc import Callable, Mapping
from typing import Any

from django.forms.renderers import DjangoTemplates
from django.utils.html import conditional_escape, escape
from django.utils.safestring import SafeString

Widget = Mapping[str, Any]
OF_AN_INPUT = ("input", "text", "number", "email", "hidden", "password", "date", "checkbox")


class PlainWidgets(DjangoTemplates):
    """Writes inputs, selects and text areas itself."""

    def render(self, template_name: str, context: dict[str, Any], request: Any = None) -> str:
        write = WRITERS.get(template_name)
        return write(context["widget"]) if write else super().render(template_name, context, request)


def _attributes(widget: Widget) -> str:
    return "".join(
        f" {escape(name)}" if value is True else f' {escape(name)}="{escape(str(value))}"'
        for name, value in widget["attrs"].items()
        if value is not False
    )


def _input(widget: Widget) -> SafeString:
    value = widget["value"]
    held = "" if value is None else f' value="{escape(str(value))}"'
    return SafeString(f'<input type="{widget["type"]}" name="{escape(widget["name"])}"{held}{_attributes(widget)}>')


def _text_area(widget: Widget) -> SafeString:
    # A browser leaves the first line break out.
    held = conditional_escape(widget["value"] or "")
    return SafeString(f'<textarea name="{escape(widget["name"])}"{_attributes(widget)}>\n{held}</textarea>')


def _select(widget: Widget) -> SafeString:
    groups = "".join(_group(name, options) for name, options, _ in widget["optgroups"])
    return SafeString(f'<select name="{escape(widget["name"])}"{_attributes(widget)}>{groups}\n</select>')


def _group(name: str | None, options: list[Widget]) -> str:
    written = "".join(
        f'\n<option value="{escape(str(each["value"]))}"{_attributes(each)}>{conditional_escape(each["label"])}</option>'
        for each in options
    )
    return f'\n<optgroup label="{escape(name)}">{written}\n</optgroup>' if name else written


WRITERS: Mapping[str, Callable[[Widget], SafeString]] = {
    **{f"django/forms/widgets/{kind}.html": _input for kind in OF_AN_INPUT},
    "django/forms/widgets/textarea.html": _text_area,
    "django/forms/widgets/select.html": _select,
}
