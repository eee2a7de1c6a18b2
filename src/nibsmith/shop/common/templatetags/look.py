"""What templates need to write figures, marks and the navigation."""

from __future__ import annotations

from collections.abc import Sequence
from html import escape
from typing import Any, Protocol

from django import template
from django.urls import NoReverseMatch, reverse
from django.utils.html import format_html
from django.utils.safestring import SafeString, mark_safe

from nibsmith.answers.references import references
from nibsmith.shop.common import svg

register = template.Library()

# The rooms of the workshop in the order of the navigation, each with the view it begins at.
_LINKS = (
    ("Start", "recipes:start"),
    ("Recipes", "recipes:list"),
    ("Batches", "batches:list"),
    ("Roasts", "roasts:list"),
    ("Tools", "tools:tools"),
    ("Ingredients", "stock:ingredients"),
    ("Kit", "kit:kits"),
    ("Settings", "common:settings"),
    ("History", "common:history"),
)


@register.inclusion_tag("common/navigation.html", takes_context=True)
def navigation(context: dict[str, Any]) -> dict[str, Any]:
    """List the pages of the workshop, the present one marked."""
    request = context.get("request")
    path = request.path if request else ""
    links = ((name, _url(view)) for name, view in _LINKS)
    return {"links": [{"name": name, "url": url, "here": _is_here(path, url)} for name, url in links if url]}


def _is_here(path: str, url: str) -> bool:
    return path == url if url == "/" else path.startswith(url)


def _url(view: str) -> str:
    try:
        return reverse(view)
    except NoReverseMatch:
        return ""


@register.simple_tag
def table(title: str, head: Sequence[str], rows: Sequence[Sequence[str]]) -> SafeString:
    """Write a small table; in Python, since the answers on a page hold hundreds of cells."""
    columns = "".join(f'<th scope="col">{escape(cell)}</th>' for cell in head)
    body = "".join(f"<tr>{''.join(f'<td>{escape(cell)}</td>' for cell in row)}</tr>" for row in rows)
    return mark_safe(  # noqa: S308 - every text in it went through escape
        f"<table><caption>{escape(title)}</caption><thead><tr>{columns}</tr></thead><tbody>{body}</tbody></table>"
    )


@register.filter
def sentence(text: str) -> str:
    """End what a person typed with one full stop.

    >>> sentence("Less sugar"), sentence("Less sugar.")
    ('Less sugar.', 'Less sugar.')
    """
    return text if text.endswith((".", "?")) else f"{text}."


class Weighed(Protocol):
    """A weight with its parts apart: its number, its unit, and pounds and ounces or nothing."""

    @property
    def number(self) -> str: ...
    @property
    def unit(self) -> str: ...
    @property
    def beside(self) -> str: ...


@register.simple_tag
def weight(shown: Weighed, size: str = "") -> SafeString:
    """Write a weight, with pounds and ounces beside it where the workshop counts in them."""
    beside = format_html(' <span class="beside">{}</span>', shown.beside) if shown.beside else ""
    classes = f"number {size}".strip()
    text = '<span class="{}">{}</span> <span class="unit">{}</span>{}'
    return format_html(text, classes, shown.number, shown.unit, beside)


@register.simple_tag
def source(text: str) -> SafeString:
    """Write where a figure is from; the key of a source, which stands first, leads to its full reference."""
    key, _, rest = text.partition(" ")
    if key not in references():
        return format_html("{}", text)
    return format_html('<a href="{}#{}">{}</a> {}', _url("common:sources"), key, key, rest)


@register.simple_tag
def mark(verdict: str) -> SafeString:
    """Draw the shape of a verdict."""
    return svg.mark(verdict)
