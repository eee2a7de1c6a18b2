"""The bytes of a file as text in one encoding, with one kind of line end."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from nibsmith.science.errors import InputError
from nibsmith.science.tables import load

_NO_TABLES = {
    b"PK\x03\x04": "a packed file, such as a workbook of a spreadsheet",
    b"\xd0\xcf\x11\xe0": "a workbook of an older spreadsheet",
    b"%PDF": "a PDF",
    b"\x1f\x8b": "a packed file",
    b"\x89PNG": "a picture",
    b"\xff\xd8\xff": "a picture",
    b"SQLite": "a database",
}
_LOOKED_AT = 400  # bytes that tell the encoding


class Encoding(StrEnum):
    """How the text was written."""

    UTF_8 = "utf-8"
    UTF_16 = "utf-16"
    WINDOWS = "windows-1252"


@dataclass(frozen=True, eq=False)
class Text:
    """The text in UTF-8 with plain line ends, and how it was written."""

    data: bytes
    encoding: Encoding
    marked: bool


def check_size(size: int) -> None:
    """Refuse a file that is too large, before anybody reads it.

    Parameters
    ----------
    size : int
        Its size in bytes.

    Raises
    ------
    InputError
        If it is larger than any log of a roast.

    Examples
    --------
    >>> check_size(2_000_000)
    """
    most = int(load("roast")["log_most_bytes"].decimal)
    if size > most:
        raise InputError(
            "This file is too large for the log of a roast",
            value=f"{size:,} bytes",
            limit=f"{most:,} bytes",
            advice="Cut it to one roast, or let the logger write fewer rows a second.",
        )


def decode(data: bytes) -> Text:
    r"""Return the text of a file, whatever it was written in.

    Parameters
    ----------
    data : bytes
        What the file holds.

    Returns
    -------
    Text
        In UTF-8 with plain line ends, and how it was written.

    Raises
    ------
    InputError
        If it is too large, empty, or no text.

    Examples
    --------
    >>> text = decode("time;°C\r\n0;24\r\n".encode("cp1252"))
    >>> text.encoding.value, text.data.decode()
    ('windows-1252', 'time;°C\n0;24\n')
    """
    check_size(len(data))
    for start, what in _NO_TABLES.items():
        if data.startswith(start):
            advice = "Export the log as CSV, that is as text with one row a reading."
            raise InputError(f"This is {what}, not a text", advice=advice)
    text = _decoded(data)
    if not text.data.strip():
        raise InputError("The file is empty", advice="Check the export of the logger.")
    if b"\0" in text.data:
        raise InputError("This is not a text", advice="Export the log as CSV.")
    return text


def _decoded(data: bytes) -> Text:
    if data.startswith(b"\xef\xbb\xbf"):
        return _utf_8(data[3:], marked=True)
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        return _utf_16(data, "utf-16", marked=True)
    head = data[:_LOOKED_AT]
    # Plain letters in UTF-16 have a zero as every second byte.
    for name, zeros, letters in (("utf-16-le", head[1::2], head[::2]), ("utf-16-be", head[::2], head[1::2])):
        if len(head) > 3 and zeros.count(0) * 10 > len(zeros) * 8 and letters.count(0) == 0:
            return _utf_16(data, name, marked=False)
    return _utf_8(data, marked=False)


def _utf_8(data: bytes, *, marked: bool) -> Text:
    encoding = Encoding.UTF_8
    if not data.isascii():
        try:
            data.decode("utf-8")
        except UnicodeDecodeError:
            encoding = Encoding.WINDOWS
            data = data.decode("cp1252", errors="replace").encode()
    return Text(_plain_ends(data), encoding, marked)


def _utf_16(data: bytes, name: str, *, marked: bool) -> Text:
    try:
        text = data.decode(name)
    except UnicodeDecodeError as error:
        raise InputError("The file breaks off in the middle of a sign", advice="Export it again.") from error
    return Text(_plain_ends(text.encode()), Encoding.UTF_16, marked)


def _plain_ends(data: bytes) -> bytes:
    return data.replace(b"\r\n", b"\n").replace(b"\r", b"\n") if b"\r" in data else data
