"""The one-time value of a form, for every template without loading anything."""

from __future__ import annotations

from django import template
from django.utils.html import format_html
from django.utils.safestring import SafeString

from nibsmith.shop.common.once.marks import FIELD, new_value

register = template.Library()


@register.simple_tag
def once() -> SafeString:
    """Write the field that lets a form be written once; a browser must not fill in that of an older page."""
    return format_html('<input type="hidden" name="{}" value="{}" autocomplete="off">', FIELD, new_value())
