"""A list of things typed in words: each an amount and a name."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal

from nibsmith.science.errors import InputError
from nibsmith.science.quantities.cleaning import SAME_BUT_UNBROKEN, clean, shown, unseen_sign, unseen_words
from nibsmith.science.quantities.mass import parse_mass
from nibsmith.science.quantities.numerals import VULGAR_SIGNS, DecimalSign, read_number
from nibsmith.science.quantities.refusals import AmbiguousQuantity, reading, refuse, volume_refused
from nibsmith.science.quantities.units import unit_of, volumes

LONGEST_LIST = 4000  # characters of a whole list
LONGEST_THING = 160  # characters of one thing, its amount and its name
MOST_THINGS = 100
_SEMICOLON = "Put a semicolon between things."
_COLON = "Put the amount first, or a colon behind the name."
_EXAMPLE = "Write what it is, such as 500 g sugar."

_CUT = r"[;\n\r]|,(?=\s|$)"
_FIRST_DIGIT = rf"[.,]?[0-9{VULGAR_SIGNS}]"
_PAIR = r"([^A-Za-z]+)([A-Za-z]+)(?:\.(?=\s|$))?"
_AMOUNT_WITHIN = rf"[0-9{VULGAR_SIGNS}]\s*([A-Za-z]+)"
_OF = r"(?ia)^\s*of\s+"
_PARTS = frozenset({"part", "parts"})
_SO_MANY_PARTS = r"(?ia)([^A-Za-z]+)parts?\.?"
_DASH_BEFORE = r"-\s*$"
# A plain space after digits: they can be the end of a name ("Dark 70 500 g") or thousands.
_SPACE_IN_NUMBER = rf"[0-9] +[0-9{VULGAR_SIGNS}]"


@dataclass(frozen=True, slots=True)
class Thing:
    """What was typed about one thing: its name, and either its mass or its parts.

    Parameters
    ----------
    words : str
        The name as typed, in one spacing.
    mass_g : Decimal, optional
        The mass [g].
    parts : Decimal, optional
        The parts by weight, for a recipe typed as a ratio.
    """

    words: str
    mass_g: Decimal | None = None
    parts: Decimal | None = None

    def __post_init__(self) -> None:
        if (self.mass_g is None) == (self.parts is None):
            raise InputError("A thing has a mass or parts, one of them", value=self.words)


def parse_things(text: str, decimal_sign: DecimalSign | None = None) -> tuple[Thing, ...]:
    """Return the things of a typed list in their order.

    Parameters
    ----------
    text : str
        Such as ``1,5 kg nibs; 500 g sugar`` or ``2 parts nibs, 1 part sugar``. Things are cut apart at a
        semicolon, a new line, or a comma with a space or nothing behind it. The amount is first or last;
        a colon may part a name from it.
    decimal_sign : str, optional
        ``.`` or ``,`` from the settings; it decides only what can be read two ways.

    Returns
    -------
    tuple of Thing
        At least one.

    Raises
    ------
    AmbiguousQuantity
        If an amount can be read in more than one way and no decimal sign decides.
    InputError
        If a thing has no amount, two amounts, no name, or an amount that is refused; it says which thing.

    Notes
    -----
    A comma and a space always cut: ``1, 5 kg nibs`` is refused at its first thing, "1". Digits before a space
    can end a name or be thousands, so ``Dark 70 500 g`` needs a colon or the amount first.
    Range: up to 100 things and 4000 characters.

    Examples
    --------
    >>> [(thing.words, thing.mass_g) for thing in parse_things("1,5 kg of nibs; sugar 500 g")]
    [('nibs', Decimal('1500.0')), ('sugar', Decimal('500'))]
    >>> parse_things("2 parts nibs, 1 part sugar")[0]
    Thing(words='nibs', mass_g=None, parts=Decimal('2'))
    """
    pieces = [
        piece
        for piece in map(str.strip, re.split(_CUT, clean(text, LONGEST_LIST, SAME_BUT_UNBROKEN)))
        if piece
    ]
    if not pieces:
        raise InputError("Nothing was typed", advice="Type what you have, such as 1.2 kg nibs; 500 g sugar.")
    if len(pieces) > MOST_THINGS:
        raise InputError("These are too many things", value=len(pieces), limit=MOST_THINGS)
    return tuple(_things(pieces, decimal_sign))


def _things(pieces: list[str], decimal_sign: DecimalSign | None) -> Iterator[Thing]:
    for number, piece in enumerate(pieces, start=1):
        try:
            yield _thing(piece, decimal_sign)
        except InputError as error:
            error.what = f"Thing {number}: {error.what}"
            error.value = error.value or shown(piece)
            error.field = f"things[{number}]"
            raise


def _thing(piece: str, decimal_sign: DecimalSign | None) -> Thing:
    if len(piece) > LONGEST_THING:
        raise InputError(
            f"This is too long for one thing (limit {LONGEST_THING} characters)", advice=_SEMICOLON
        )
    amount, words = _amount_and_words(piece)
    return _with_amount(amount, _name(words), decimal_sign)


def _amount_and_words(piece: str) -> tuple[str, str]:
    typed = clean(piece, LONGEST_THING + 1)
    digit = re.search(_FIRST_DIGIT, typed)
    if digit is None:
        raise _no_amount(typed)
    name, colon, behind_colon = typed.rpartition(":")
    if colon and name and re.match(_FIRST_DIGIT, behind_colon.lstrip()):
        return behind_colon.lstrip(), name
    if digit.start():
        return _cut_before_amount(piece, typed, digit.start())
    return _cut_after_amount(typed)


def _no_amount(piece: str) -> InputError:
    """Return why a thing without digits is refused: ``a pinch of salt`` for being a volume."""
    volume = next((word for word in piece.lower().split()[:2] if word in volumes()), None)
    if volume:
        return volume_refused(volume, piece)
    return InputError("There is no amount in it", advice="Write how much, such as 500 g sugar.")


def _cut_before_amount(piece: str, typed: str, start: int) -> tuple[str, str]:
    """Return the amount at the end and the name before it, where nothing can belong to both."""
    name, amount = typed[:start], typed[start:]
    if re.search(_DASH_BEFORE, name):
        raise InputError("A dash before an amount can be a minus sign", advice="Write the amount without it.")
    if not name[-1].isspace():
        raise InputError("The name and the amount run together", advice=_COLON)
    if amount[0] == ",":
        raise InputError("The comma can belong to the name or to the amount", advice=_COLON)
    if re.search(_SPACE_IN_NUMBER, piece):
        raise InputError("The first digits can belong to the name or to the amount", advice=_COLON)
    return amount, name


def _cut_after_amount(piece: str) -> tuple[str, str]:
    """Return the amount at the beginning, one unit or two, and what follows it."""
    end, of_pair = 0, re.compile(_PAIR)
    while pair := of_pair.match(piece, end):
        word = pair[2].lower()
        known = unit_of(word) or (word in _PARTS and not end)
        if not known or not re.search(_FIRST_DIGIT, pair[1]):
            break
        end = pair.end()
    if not end:
        raise _no_unit(piece, pair)
    rest = piece[end:]
    if rest and not (rest[0].isspace() or rest[0] == ":"):
        raise InputError("The amount and the name run together", advice="Put a space behind the unit.")
    return piece[:end], rest.lstrip(" \t:")


def _no_unit(piece: str, pair: re.Match[str] | None) -> InputError:
    if read_number(piece):
        what, advice = (
            "A number stands alone",
            "Write its unit; a comma inside a number has no space behind it.",
        )
        return InputError(what, advice=advice)
    power_of_ten = pair is not None and pair[2] in "eE"
    return refuse(pair[0].strip() if pair and not power_of_ten else piece.split(maxsplit=1)[0])


def _name(words: str) -> str:
    name = unicodedata.normalize("NFC", " ".join(re.sub(_OF, "", words).split()))
    if not name:
        raise InputError("The amount has no name", advice=_EXAMPLE)
    if unseen := unseen_sign(name):
        raise InputError(unseen_words(unseen), value=shown(name), advice="Type the name again by hand.")
    if not name[0].isalpha():
        raise InputError("A name begins with a letter", value=shown(name), advice="Write the name in words.")
    if any(unit_of(found[1]) for found in re.finditer(_AMOUNT_WITHIN, name)):
        raise InputError("It has two amounts", advice=_SEMICOLON)
    if "," in name:
        raise InputError("A comma stands in the name", advice="Put a space behind it, or a semicolon for it.")
    if unit_of(name) or name.lower() in _PARTS:
        raise InputError("The name is a unit", value=shown(name), advice=_EXAMPLE)
    return name


def _with_amount(amount: str, name: str, decimal_sign: DecimalSign | None) -> Thing:
    parts = re.fullmatch(_SO_MANY_PARTS, amount.strip())
    if parts:
        return Thing(name, parts=_parts(parts[1].strip(" \t"), amount, decimal_sign))
    return Thing(name, mass_g=parse_mass(amount, decimal_sign=decimal_sign))


def _parts(run: str, amount: str, decimal_sign: DecimalSign | None) -> Decimal:
    numbers = read_number(run, decimal_sign)
    if not numbers:
        raise InputError(
            "These parts are no number", value=shown(amount), advice="Write such as 2 parts nibs."
        )
    if len(numbers) > 1:
        ways = [reading(number, number, "parts") for number in numbers]
        raise AmbiguousQuantity(amount, ways, settled_by_sign="/" not in amount)
    if not numbers[0]:
        raise InputError("No parts of it is none of it", value=shown(amount), advice="Leave it out.")
    return numbers[0]
