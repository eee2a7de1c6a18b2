"""One table of a recipe file: every value taken out by name and type, every refusal with its place."""

from __future__ import annotations

import difflib
from collections.abc import Callable, Mapping, Sequence
from decimal import Decimal
from enum import StrEnum
from typing import TypeVar

from nibsmith.science.errors import InputError, NibsmithError
from nibsmith.science.quantities import DecimalSign, parse_mass
from nibsmith.science.quantities.cleaning import shown, unseen_sign, unseen_words

LONGEST_NAME = 120  # characters of a name or label; more does not fit a line of the batch sheet
LONGEST_NOTE = 4000

Choice = TypeVar("Choice", bound=StrEnum)


class Fields:
    """A table with the path to it; keys it does not know are refused at once."""

    def __init__(self, values: object, path: str, keys: Sequence[str]) -> None:
        if not isinstance(values, dict):
            raise InputError(f"{path or 'The file'} is not a table of values", field=path)
        self._values: Mapping[str, object] = values
        self.path = path
        for key in values:
            if key not in keys:
                raise self._unknown_key(key, keys)

    def __contains__(self, key: str) -> bool:
        return key in self._values

    def at(self, key: str) -> str:
        """Return the path of a key, such as ``part[3].share_percent``."""
        return f"{self.path}.{key}" if self.path else key

    def given(self, keys: Sequence[str]) -> list[str]:
        """Return those of the keys that the table has."""
        return [key for key in keys if key in self._values]

    def raw(self, key: str) -> object:
        """Return a value as the file holds it, or ``None``."""
        return self._values.get(key)

    def text(self, key: str, default: str | None = None, *, longest: int = LONGEST_NAME) -> str | None:
        """Return a text without anything a line of print cannot show."""
        value = self._values.get(key)
        if value is None:
            return default
        if not isinstance(value, str):
            raise self._wrong(key, "text in quotes")
        return readable(value, self.at(key), longest)

    def flag(self, key: str) -> bool | None:
        """Return true or false."""
        value = self._values.get(key)
        if value is not None and not isinstance(value, bool):
            raise self._wrong(key, "true or false")
        return value

    def number(self, key: str, *, high: Decimal | None = None) -> Decimal | None:
        """Return a number of zero or more, exactly as typed."""
        value = self._values.get(key)
        if value is None:
            return None
        if isinstance(value, bool) or not isinstance(value, (int, Decimal)):
            raise self._wrong(key, "a number without quotes")
        return _counted(Decimal(value), high, self.at(key))

    def mass(self, key: str, decimal_sign: DecimalSign | None) -> Decimal | None:
        """Return a mass typed with its unit [g]."""
        value = self._values.get(key)
        if value is None:
            return None
        if not isinstance(value, str):
            advice = 'Write it in quotes with its unit, such as "250 g".'
            raise InputError("A mass needs its unit", value=_short(value), advice=advice, field=self.at(key))
        return placed(lambda: parse_mass(value, decimal_sign=decimal_sign), self.at(key))

    def choice(self, key: str, kinds: type[Choice], words: Mapping[str, Choice]) -> Choice | None:
        """Return one of a closed list, by its key or by a word of the trade for it."""
        value = self.text(key)
        if value is None:
            return None
        known = {**{member.value: member for member in kinds}, **words}
        plain = "_".join(value.lower().replace("-", " ").replace("_", " ").split())
        if plain not in known:
            raise InputError(
                f"This is not a {key} known here",
                value=shown(value),
                advice=f"Write one of: {', '.join(member.value for member in kinds)}.",
                field=self.at(key),
            )
        return known[plain]

    def words(self, key: str) -> tuple[str, ...] | None:
        """Return a list of short texts."""
        value = self._values.get(key)
        if value is None:
            return None
        if not isinstance(value, list) or not all(isinstance(word, str) for word in value):
            raise self._wrong(key, 'a list of texts, such as ["eu", "us"]')
        return tuple(readable(word, self.at(key), LONGEST_NAME) for word in value)

    def rows(self, key: str, most: int) -> Sequence[object]:
        """Return a list of tables, each headed ``[[key]]`` in the file."""
        value = self._values.get(key, [])
        if not isinstance(value, list):
            raise self._wrong(key, f"a list of tables, each headed [[{key}]]")
        if len(value) > most:
            raise InputError(f"These are too many {key}s", value=len(value), limit=most, field=self.at(key))
        return value

    def _wrong(self, key: str, wanted: str) -> InputError:
        got = _short(self._values[key])
        return InputError(f"This must be {wanted}", value=got, field=self.at(key))

    def _unknown_key(self, key: str, keys: Sequence[str]) -> InputError:
        near = difflib.get_close_matches(key[:LONGEST_NAME], keys, n=1)
        advice = f"Did you mean {near[0]}?" if near else f"The keys here are: {', '.join(keys)}."
        return InputError(f"{shown(key)} is not a key known here", advice=advice, field=self.path)


Value = TypeVar("Value")


def placed(read: Callable[[], Value], path: str) -> Value:
    """Read a value, and give a refusal the place where it was typed."""
    try:
        return read()
    except NibsmithError as error:
        error.field = path
        raise


def readable(text: str, path: str, longest: int) -> str:
    """Return a text in one spacing, or refuse it: empty, too long, or with a sign that cannot be seen."""
    line = " ".join(text.split())
    if not line:
        raise InputError("This is empty", advice="Write something, or leave the key out.", field=path)
    if len(line) > longest:
        raise InputError("This is too long", value=f"{len(line)} characters", limit=longest, field=path)
    if unseen := unseen_sign(line):
        raise InputError(unseen_words(unseen), value=shown(line), field=path)
    return line


def _counted(number: Decimal, high: Decimal | None, path: str) -> Decimal:
    if not number.is_finite():
        raise InputError("This is not a number", value=number, advice="Write digits.", field=path)
    if number < 0:
        raise InputError("This cannot be negative", value=_brief(number), limit="0 or more", field=path)
    if high is not None and number > high:
        raise InputError("This is too large", value=_brief(number), limit=high, field=path)
    return number


def _brief(number: Decimal) -> str:
    return f"{number:.6g}"


def _short(value: object) -> str:
    if isinstance(value, str):
        return shown(value)
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, (int, Decimal)):
        return _brief(Decimal(value))
    if isinstance(value, dict):
        return "a table"
    return "a list" if isinstance(value, list) else "a date or time"
