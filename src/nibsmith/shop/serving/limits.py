"""How much a browser may send: the largest file, and how much is read so that a page can refuse it itself."""

from __future__ import annotations

from nibsmith.science.tables import load

MEBIBYTE = 1024 * 1024
# A form with a file that is somewhat too large is read whole, so that its page can say so beside the field,
# with everything that was typed still there. What is larger is not kept, and gets a page of its own.
BODY_READ_BYTES = 64 * MEBIBYTE
# A file above this is held on the disk while a page looks at it.
HELD_IN_MEMORY_BYTES = 10 * MEBIBYTE


def largest_file() -> str:
    """Say how large a file may be: the limit of a logger's file, which is the largest that anybody sends."""
    return f"{load('roast')['log_most_bytes'].decimal / 1_000_000:f} MB"
