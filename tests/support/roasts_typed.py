"""A roast as a maker types it, and pages as they are read."""

from __future__ import annotations

import html
import re
from typing import Any

from django.core.files.uploadedfile import SimpleUploadedFile

TYPED = "0:00 23\n6:00 84\n12:00 106\n20:00 119\n28:00 125"


def log_file(text: str | bytes, name: str = "roast.csv") -> SimpleUploadedFile:
    """Return a file as a browser sends it."""
    return SimpleUploadedFile(name, text if isinstance(text, bytes) else text.encode())


def read(response: Any) -> str:
    """Return a page with its spaces plain."""
    text = re.sub(r"\s+", " ", html.unescape(response.content.decode()))
    return text.replace("\xa0", " ").replace("\u202f", " ")


def plain(response: Any) -> str:
    """Return a page as it is read: without its tags."""
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", read(response)))
