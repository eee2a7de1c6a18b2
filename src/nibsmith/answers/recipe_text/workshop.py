"""What a recipe file says about the workshop: kit, mould, scale, markets, money."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from nibsmith.answers.recipe_text.fields import Fields, placed
from nibsmith.answers.recipe_text.words import WORKSHOP_KEYS
from nibsmith.science.errors import InputError
from nibsmith.science.kit import Kit, Mould, check_residue, kit
from nibsmith.science.legal import jurisdictions
from nibsmith.science.money import currency
from nibsmith.science.quantities import DecimalSign
from nibsmith.science.quantities.cleaning import shown

MOST_BARS = 100_000


@dataclass(frozen=True)
class Workshop:
    """What the file says beside the recipe; ``None`` where it says nothing."""

    kit: Kit | None = None
    residue_g: Decimal | None = None
    loss_percent: Decimal | None = None
    mould: Mould | None = None
    bars: int | None = None
    scale_g: Decimal | None = None
    markets: tuple[str, ...] | None = None
    currency: str | None = None
    bean_yield: Decimal | None = None
    uses_lecithin: bool | None = None


def read_workshop(values: object, decimal_sign: DecimalSign | None) -> Workshop:
    """Return what the table ``[workshop]`` says."""
    fields = Fields(values, "workshop", WORKSHOP_KEYS)
    key = fields.text("kit")
    machine = None if key is None else placed(lambda: kit(key), fields.at("kit"))
    return Workshop(
        kit=machine,
        residue_g=_residue(fields, machine, decimal_sign),
        loss_percent=loss_of_all(fields.number("loss_percent"), fields.at("loss_percent")),
        mould=_mould(fields, decimal_sign),
        bars=_whole_number(fields, "bars"),
        scale_g=_above_zero(fields, "scale", decimal_sign),
        markets=_markets(fields),
        currency=_currency(fields),
        bean_yield=_share(fields, "bean_yield_percent"),
        uses_lecithin=fields.flag("uses_lecithin"),
    )


def _residue(fields: Fields, machine: Kit | None, decimal_sign: DecimalSign | None) -> Decimal | None:
    residue_g = fields.mass("residue", decimal_sign)
    if residue_g is not None and machine is not None:
        placed(lambda: check_residue(residue_g, machine.charge_max_g), fields.at("residue"))
    return residue_g


def loss_of_all(percent: Decimal | None, field: str | None = None) -> Decimal | None:
    """Return what is lost of a finished mass [%], or refuse that all of it is."""
    if percent is not None and not 0 <= percent < 100:
        raise InputError("The loss cannot be true", value=percent, limit="0 to under 100 %", field=field)
    return percent


def known_markets(keys: Sequence[str]) -> tuple[str, ...]:
    """Return the keys of markets, each once, or refuse one that no law here is for."""
    for key in keys:
        if key not in jurisdictions():
            advice = f"They are: {', '.join(jurisdictions())}."
            raise InputError("No market has this key", value=shown(key), advice=advice)
    if not keys:
        raise InputError("No market is named", advice="Name one, or leave it out.")
    return tuple(dict.fromkeys(keys))


def _markets(fields: Fields) -> tuple[str, ...] | None:
    words = fields.words("markets")
    return None if words is None else placed(lambda: known_markets(words), fields.at("markets"))


def _currency(fields: Fields) -> str | None:
    code = fields.text("currency")
    return None if code is None else placed(lambda: currency(code), fields.at("currency")).code


def _mould(fields: Fields, decimal_sign: DecimalSign | None) -> Mould | None:
    cavity = _above_zero(fields, "mould", decimal_sign)
    cavities = _whole_number(fields, "cavities")
    if cavity is None:
        if cavities is not None:
            raise InputError(
                "Cavities belong to a mould", advice='Write mould = "70 g".', field=fields.at("cavities")
            )
        return None
    return mould_of(cavity, cavities or 1)


def mould_of(cavity_g: Decimal, cavities: int = 1) -> Mould:
    """Return a mould named by the mass of its cavity [g]."""
    return Mould(f"{cavity_g.normalize():f} g", float(cavity_g), cavities)


def _whole_number(fields: Fields, key: str) -> int | None:
    number = fields.number(key, high=Decimal(MOST_BARS))
    if number is None:
        return None
    if number != number.to_integral_value() or number < 1:
        raise InputError("This must be a whole number of one or more", value=number, field=fields.at(key))
    return int(number)


def _above_zero(fields: Fields, key: str, decimal_sign: DecimalSign | None) -> Decimal | None:
    mass = fields.mass(key, decimal_sign)
    if mass is not None and mass <= 0:
        raise InputError("This must be above zero", value=f"{mass} g", field=fields.at(key))
    return mass


def _share(fields: Fields, key: str) -> Decimal | None:
    percent = fields.number(key, high=Decimal(100))
    if percent is not None and not percent:
        raise InputError("Beans that yield nothing make no nibs", value="0 %", field=fields.at(key))
    return None if percent is None else percent / 100
