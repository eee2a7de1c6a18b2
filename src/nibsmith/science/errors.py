"""The errors of Nibsmith: each says what is wrong, the value, the limit, and what to do."""

from __future__ import annotations

from collections.abc import Sequence


class NibsmithError(Exception):
    """A refusal in plain words.

    Parameters
    ----------
    what : str
        One sentence that says what is wrong, without a full stop at its end.
    value : object, optional
        The value that was refused.
    limit : object, optional
        The limit it broke.
    advice : str, optional
        What to do about it, one sentence.
    field : str, optional
        Where it was typed, such as ``part[2].share_percent``.
    """

    def __init__(
        self,
        what: str,
        *,
        value: object = None,
        limit: object = None,
        advice: str | None = None,
        field: str | None = None,
    ) -> None:
        super().__init__(what)
        self.what = what
        self.value = value
        self.limit = limit
        self.advice = advice
        self.field = field

    def __str__(self) -> str:
        details = []
        if self.value is not None:
            details.append(f"got {self.value}")
        if self.limit is not None:
            details.append(f"limit {self.limit}")
        text = self.what + (f" ({', '.join(details)})" if details else "")
        return f"{text}. {self.advice}" if self.advice else f"{text}."


class InputError(NibsmithError):
    """Something typed cannot be used as it stands."""


class UnknownIngredient(InputError):
    """A key that stands in no table; ``near`` holds names like it, none put in its place."""

    def __init__(self, key: str, near: Sequence[str] = (), *, field: str | None = None) -> None:
        advice = f"Near it: {', '.join(near)}" if near else "See the list of ingredients"
        super().__init__("No ingredient has this key", value=key, advice=f"{advice}.", field=field)
        self.near = tuple(near)


class UnknownFigure(NibsmithError):
    """A figure that needs something not given; ``missing`` names the parts that lack it."""

    lacks = "not given"
    way_out = "Type it from the supplier's sheet."

    def __init__(self, figure: str, missing: Sequence[str]) -> None:
        # Names such as "Almonds, roasted" have commas of their own.
        names = ("; " if any("," in name for name in missing) else ", ").join(missing)
        said = f"{figure[:1].upper()}{figure[1:]}"
        super().__init__(f"{said} cannot be told: {self.lacks} for {names}", advice=self.way_out)
        self.figure = figure
        self.missing = tuple(missing)


class UnknownPrice(UnknownFigure):
    """A cost that needs a price not given; a price is the maker's own and stands in no table."""

    lacks = "no price is given"
    way_out = "Type what a kilogram costs, at the part or at the ingredient."


class OutOfRange(NibsmithError):
    """A value outside the range for which a formula holds."""


class TableError(NibsmithError):
    """A packaged table that does not hold what it should."""
