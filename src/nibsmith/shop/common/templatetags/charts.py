"""Charts in templates: drawn in two sizes, of which the style sheet shows the one that fits."""

from __future__ import annotations

from typing import Any

from django import template
from django.utils.safestring import mark_safe

from nibsmith.paper.chart import NARROW, WIDE, Chart, figures_of, picture

register = template.Library()


@register.inclusion_tag("common/chart.html")
def chart(drawn: Chart, number: int = 1) -> dict[str, Any]:
    """Draw a chart, with its figures as tables below; ``number`` tells it from others on the page."""
    return {
        "chart": drawn,
        "number": number,
        # The module escapes every text that it writes.
        "wide": mark_safe(picture(drawn, WIDE)),  # noqa: S308
        "narrow": mark_safe(picture(drawn, NARROW)),  # noqa: S308
        "tables": figures_of(drawn),
    }
