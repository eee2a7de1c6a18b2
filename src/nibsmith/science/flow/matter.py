"""What of a recipe decides its flow: fats by how free they are, lecithin, water, solids by their grains."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from functools import cached_property

from nibsmith.science.errors import InputError, UnknownFigure
from nibsmith.science.mixture import COCOA_KINDS, Ingredient, Kind, Leaf, Recipe, Span, brought_by
from nibsmith.science.tables import load

NOTHING = Span.exactly(0.0)
_GROUND_HERE = frozenset({Kind.BEAN, Kind.NIB})
_SUGARS = frozenset({Kind.SUGAR, Kind.SWEETENER})
_PGPR = ("pgpr", "polyricinoleate", "e476", "e 476")
_LECITHIN = ("lecit", "lezit", "lécit", "e322", "e 322")


@dataclass(frozen=True)
class FlowMatter:
    """Amounts of what is ground together that decide its flow [g].

    ``nib_butter`` is what fragments of cocoa may keep locked; ``milk_fat`` what grains of milk powder may;
    ``free_fat`` all other fat. The four solids are free of fat and water. ``pgpr`` says that an emulsifier
    is in it which breaks the link between viscosity and yield. ``unknown`` names parts that do not give their
    fat or water; up to a pinch they count as anything from none to their whole weight: their fat at the ends
    of ``free_fat``, their water in ``unknown_water``. ``untold`` names emulsifiers of which nobody knows what
    they do to the flow; they count for nothing.
    """

    charge: float
    nib_butter: Span = NOTHING
    milk_fat: Span = NOTHING
    free_fat: Span = NOTHING
    lecithin: float = 0.0
    water: Span = NOTHING
    unknown_water: float = 0.0
    cocoa_solids: float = 0.0
    sugar_solids: float = 0.0
    milk_solids: float = 0.0
    other_solids: float = 0.0
    pgpr: bool = False
    unknown: tuple[str, ...] = field(default=())
    untold: tuple[str, ...] = field(default=())

    @property
    def fat(self) -> Span:
        """All fat but lecithin, locked or free [g]."""
        return self.nib_butter + self.milk_fat + self.free_fat

    @cached_property
    def solids_volume(self) -> tuple[float, float]:
        """Volumes of the solids of the cocoa's size, and of those of the sugar's size [cm³]."""
        table = load("flow")
        cocoa = self.cocoa_solids / table["density_cocoa_solids"].value
        sugar = self.sugar_solids / table["density_sugar"].value
        milk = self.milk_solids / table["density_milk_solids"].value
        other = self.other_solids / table["density_other_solids"].value
        return 1000 * cocoa, 1000 * (sugar + milk + other)

    @cached_property
    def solids_density(self) -> float:
        """Density of the fat-free solids together; a usual one where there are none [kg/m³]."""
        mass = self.cocoa_solids + self.sugar_solids + self.milk_solids + self.other_solids
        volume = sum(self.solids_volume)
        return 1000 * mass / volume if volume else load("flow")["density_other_solids"].value

    def holding(self, water_share: float) -> FlowMatter:
        """Return the same with water that got in, so that it is this share of the charge [0 to 1]."""
        dry = self.charge - self.water.value
        water = max(self.water.value, dry * water_share / (1 - water_share))
        return replace(self, charge=dry + water, water=Span.exactly(water))

    def with_butter(self, add_g: float) -> FlowMatter:
        """Return the same with cocoa butter added [g]."""
        return replace(self, charge=self.charge + add_g, free_fat=self.free_fat + Span.exactly(add_g))

    def with_lecithin(self, add_g: float) -> FlowMatter:
        """Return the same with lecithin added [g]."""
        return replace(self, charge=self.charge + add_g, lecithin=self.lecithin + add_g)


def flow_matter(recipe: Recipe) -> FlowMatter:
    """Return what of a recipe decides its flow.

    Parameters
    ----------
    recipe : Recipe
        The recipe, nested recipes opened up; only what is ground together counts.

    Returns
    -------
    FlowMatter
        Amounts as charged [g].

    Raises
    ------
    InputError
        If nothing goes into the machine.
    UnknownFigure
        If more than a pinch does not give its fat or water.

    Examples
    --------
    >>> from nibsmith.science.mixture import Form, Recipe, part
    >>> bar = Recipe("b", Form.BAR, (part("cocoa_butter", 10.0), part("sugar_granulated", 30.0)))
    >>> matter = flow_matter(bar)
    >>> round(matter.fat.value, 1), round(matter.sugar_solids, 1)
    (10.0, 30.0)
    """
    leaves = [leaf for leaf in recipe.leaves() if leaf.in_machine and leaf.mass_g > 0]
    if not leaves:
        raise InputError("Nothing goes into the machine", advice="Give at least one part an earlier stage.")
    matter = total(leaf_matter(leaf) for leaf in leaves)
    unknown_g = sum(leaf.mass_g for leaf in leaves if leaf.ingredient.name in matter.unknown)
    if unknown_g > load("flow")["unknown_most"].value * matter.charge:
        raise UnknownFigure("How the mass flows, which needs fat and water,", matter.unknown)
    return matter


def total(matters: Iterable[FlowMatter]) -> FlowMatter:
    """Return what several parts bring together.

    Parameters
    ----------
    matters : iterable of FlowMatter
        What each of them brings [g].

    Returns
    -------
    FlowMatter
        The sums; the names of what is not known, each once [g].

    Examples
    --------
    >>> both = total([FlowMatter(10.0, lecithin=1.0), FlowMatter(90.0, sugar_solids=90.0)])
    >>> both.charge, both.lecithin, both.sugar_solids
    (100.0, 1.0, 90.0)
    """
    rows = list(matters)

    def span(name: str) -> Span:
        return sum((getattr(row, name) for row in rows), NOTHING)

    def mass(name: str) -> float:
        return float(sum(getattr(row, name) for row in rows))

    return FlowMatter(
        charge=mass("charge"),
        nib_butter=span("nib_butter"),
        milk_fat=span("milk_fat"),
        free_fat=span("free_fat"),
        lecithin=mass("lecithin"),
        water=span("water"),
        unknown_water=mass("unknown_water"),
        cocoa_solids=mass("cocoa_solids"),
        sugar_solids=mass("sugar_solids"),
        milk_solids=mass("milk_solids"),
        other_solids=mass("other_solids"),
        pgpr=any(row.pgpr for row in rows),
        unknown=tuple(dict.fromkeys(name for row in rows for name in row.unknown)),
        untold=tuple(dict.fromkeys(name for row in rows for name in row.untold)),
    )


def leaf_matter(leaf: Leaf) -> FlowMatter:
    """Return what one ingredient brings.

    Parameters
    ----------
    leaf : Leaf
        An ingredient with its weight and with what it is taken for here [g].

    Returns
    -------
    FlowMatter
        Fat by how free it is, water, and solids by whose size they have [g]. What does not give its fat or
        water is named in it, and so is an emulsifier that is neither lecithin nor PGPR by its name.

    Examples
    --------
    >>> from nibsmith.science.mixture import Form, Recipe, part
    >>> (leaf,) = Recipe("b", Form.BAR, (part("sugar_granulated", 30.0),)).leaves()
    >>> round(leaf_matter(leaf).sugar_solids, 1)
    30.0
    """
    if leaf.kind is Kind.EMULSIFIER:
        return _emulsifier_matter(leaf)
    per_gram = brought_by(leaf.ingredient, leaf.kind)
    butter, milk, other, water = (per_gram[key] for key in ("cocoa_butter", "milk_fat", "other_fat", "water"))
    if butter is None or milk is None or other is None or water is None:
        anything = Span(0.0, 0.0, leaf.mass_g)
        return FlowMatter(
            leaf.mass_g, free_fat=anything, unknown_water=leaf.mass_g, unknown=(leaf.ingredient.name,)
        )
    locked_butter, free_butter = (butter, NOTHING) if leaf.kind in _GROUND_HERE else (NOTHING, butter)
    if milk.value >= load("flow")["milk_is_fat_from"].value:
        milk, free_butter = NOTHING, free_butter + milk
    fat = locked_butter.value + free_butter.value + milk.value + other.value
    bringing = FlowMatter(
        leaf.mass_g,
        nib_butter=locked_butter.times(leaf.mass_g),
        milk_fat=milk.times(leaf.mass_g),
        free_fat=(free_butter + other).times(leaf.mass_g),
        water=water.times(leaf.mass_g),
    )
    return _with_solids(bringing, leaf.kind, leaf.mass_g * max(0.0, 1 - fat - water.value))


def _emulsifier_matter(leaf: Leaf) -> FlowMatter:
    """What an emulsifier brings: lecithin, a sign of PGPR, or nothing that is known; and its water."""
    name, water = leaf.ingredient.name, brought_by(leaf.ingredient, leaf.kind)["water"]
    pgpr, lecithin = _is_named(leaf.ingredient, _PGPR), is_lecithin(leaf.ingredient)
    held_g = 0.0 if water is None else water.value * leaf.mass_g
    return FlowMatter(
        leaf.mass_g,
        lecithin=leaf.mass_g - held_g if lecithin else 0.0,
        water=Span.exactly(held_g),
        unknown_water=leaf.mass_g if water is None else 0.0,
        pgpr=pgpr,
        unknown=(name,) if water is None else (),
        untold=() if pgpr or lecithin else (name,),
    )


def is_lecithin(of: Ingredient) -> bool:
    """Return whether an emulsifier is a lecithin, by its key or its name.

    Parameters
    ----------
    of : Ingredient
        An emulsifier.

    Returns
    -------
    bool
        False for PGPR and for what says neither.

    Examples
    --------
    >>> from nibsmith.science.mixture import ingredient
    >>> is_lecithin(ingredient("lecithin_soy"))
    True
    """
    return _is_named(of, _LECITHIN) and not _is_named(of, _PGPR)


def _is_named(of: Ingredient, words: Iterable[str]) -> bool:
    name = f"{of.key} {of.name}".lower()
    return any(word in name for word in words)


def _with_solids(matter: FlowMatter, kind: Kind, solids_g: float) -> FlowMatter:
    if kind in COCOA_KINDS:
        return replace(matter, cocoa_solids=solids_g)
    if kind in _SUGARS:
        return replace(matter, sugar_solids=solids_g)
    if kind is Kind.MILK:
        return replace(matter, milk_solids=solids_g)
    return replace(matter, other_solids=solids_g)
