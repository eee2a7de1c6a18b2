"""What can still be done at the bench: the smallest additions that bring a bowl back to its recipe."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from functools import lru_cache
from types import MappingProxyType
from typing import NamedTuple, cast

from nibsmith.science.errors import InputError
from nibsmith.science.formulate.balancing import balance
from nibsmith.science.formulate.goal import Goal, share_limit, total_limit
from nibsmith.science.formulate.shelf import stock_of
from nibsmith.science.formulate.solution import Clash, Impossible, Solution
from nibsmith.science.formulate.two_truths import bowl_recipe
from nibsmith.science.mixture import MACHINE_STAGES, Limit, Part, Recipe, Stage
from nibsmith.science.tables import load, load_data

NOT_IN_IT = "it is not in the recipe"
NO_MORE = "there is no more on the shelf"


@dataclass(frozen=True)
class Tolerance:
    """How far a share may be from the recipe.

    ``points_percent`` of everything weighed, or ``of_share_percent`` of the share itself where that is less
    [%].
    """

    points_percent: float
    of_share_percent: float

    def around(self, share: float) -> float:
        """Return the tolerance of one share [0 to 1]."""
        return min(self.points_percent / 100, share * self.of_share_percent / 100)


def usual_tolerance() -> Tolerance:
    """Return the tolerance of the table, for a maker who has not given one.

    Returns
    -------
    Tolerance
        Half a point, or a tenth of the share where that is less [%].

    Examples
    --------
    >>> round(usual_tolerance().around(0.003), 4)
    0.0003

    References
    ----------
    [bench-judgement]
    """
    constants = load("formulate")
    return Tolerance(constants["share_tolerance"].value, constants["small_share_tolerance"].value)


@dataclass(frozen=True)
class Bench:
    """Where the work stands.

    ``stage`` is what is being done now; ``grind_on`` says that the maker will grind for hours more, so that
    sugar and milk can still go in late. ``machine_max_g`` is the most the machine holds [g]; ``shelf_g`` is
    what there is, by part label or ingredient key [g]; what is not named there is free unless
    ``only_shelf``. ``left_in`` are labels of what is in the bowl and not in the recipe that may stay there.
    """

    stage: Stage = Stage.START
    grind_on: bool = False
    machine_max_g: float | None = None
    shelf_g: Mapping[str, float] = field(default_factory=lambda: MappingProxyType({}))
    only_shelf: bool = False
    tolerance: Tolerance | None = None
    left_in: frozenset[str] = frozenset()


@lru_cache(maxsize=1)
def _order() -> Mapping[str, int]:
    """The stages by their order; those of one line of the table are equal."""
    lines = cast("list[list[str]]", load_data("bench")["stages"])
    return MappingProxyType({stage: place for place, line in enumerate(lines) for stage in line})


def can_go_in(part: Part, stage: Stage, *, grind_on: bool = False) -> bool:
    """Say whether a part can still go in at a stage.

    It can while its own stage is still to come, or until the last stage its kind can go in at all: butter
    and other fats until the mass is tempered, what has to be ground only while there is grinding to come.

    Parameters
    ----------
    part : Part
        The part.
    stage : Stage
        What is being done now.
    grind_on : bool
        Whether the maker will grind for hours more.

    Returns
    -------
    bool
        Whether more of it can go in.

    Examples
    --------
    >>> from nibsmith.science.mixture import part
    >>> butter, sugar = part("cocoa_butter", 1.0), part("sugar_granulated", 1.0)
    >>> can_go_in(butter, Stage.LATE), can_go_in(sugar, Stage.LATE)
    (True, False)
    >>> can_go_in(sugar, Stage.LATE, grind_on=True)
    True

    References
    ----------
    [bench-judgement]
    """
    order, rules = _order(), load_data("bench")
    if order[part.stage] >= order[stage]:
        return True
    kind = "recipe" if isinstance(part.of, Recipe) else part.kind.value
    until = cast("Mapping[str, str]", rules["until"])
    longer = cast("Mapping[str, str]", rules["until_grinding_on"]) if grind_on else {}
    last = longer.get(kind, until[kind])
    return part.stage in MACHINE_STAGES and order[last] >= order[stage]


@dataclass(frozen=True)
class Rescue:
    """A bowl brought back.

    ``recipe`` is everything in it afterwards, ``add_g`` what goes in [g]; ``shares`` are what each part
    then is beside what the recipe wants [0 to 1].
    """

    bowl: Recipe
    recipe: Recipe
    add_g: Mapping[str, float]
    shares: Mapping[str, tuple[float, float]]

    @property
    def added_g(self) -> float:
        """Everything added [g]."""
        return sum(self.add_g.values())


def rescue_limits(
    recipe: Recipe, bowl_g: Mapping[str, float], bench: Bench, foreign: tuple[Part, ...] = ()
) -> tuple[Limit, ...]:
    """Return what a rescue must keep: tolerances, the machine, the shelf, what can still go in.

    Parameters
    ----------
    recipe : Recipe
        The recipe; only its shares matter.
    bowl_g : Mapping[str, float]
        Part label to what is in the bowl [g].
    bench : Bench
        Where the work stands.
    foreign : tuple of Part
        What is in the bowl and not in the recipe [g].

    Returns
    -------
    tuple of Limit
        Linear in the masses of the bowl afterwards.

    Raises
    ------
    InputError
        If the bowl or the bench cannot be.

    Examples
    --------
    >>> from nibsmith.science.mixture import Form, part
    >>> bar = Recipe("bar", Form.BAR, (part("cocoa_mass", 70.0), part("sugar_granulated", 30.0)))
    >>> [limit.name for limit in rescue_limits(bar, {"cocoa_mass": 700.0}, Bench(machine_max_g=3000.0))]
    ['the share of Cocoa mass', 'the share of Granulated sugar', 'the charge of the machine']
    """
    bowl = bowl_recipe(recipe, bowl_g, foreign)
    tolerance = bench.tolerance or usual_tolerance()
    limits = [_share(recipe, bowl, part, tolerance) for part in bowl.parts if part.label not in bench.left_in]
    if bench.machine_max_g is not None:
        _weight(bench.machine_max_g, "machine_max_g")
        limits.append(
            total_limit(bowl, high=bench.machine_max_g, only_machine=True, reason="the machine holds no more")
        )
    strange = {part.label for part in foreign}
    known = [part for part in bowl.parts if part.label not in strange]
    late = [part for part in known if not can_go_in(part, bench.stage, grind_on=bench.grind_on)]
    limits.extend(_no_more(part, NOT_IN_IT) for part in bowl.parts if part.label in strange)
    limits.extend(_no_more(part, "it cannot go in any more at this stage") for part in late)
    return (*limits, *_shelf_limits([part for part in known if part not in late], bench))


def _no_more(part: Part, reason: str) -> Limit:
    return Limit(_weight_of(part), reason, {part.label: 1.0}, None, high=part.mass_g)


def _weight_of(part: Part) -> str:
    return f"the weight of {part.name}"


def _share(recipe: Recipe, bowl: Recipe, part: Part, tolerance: Tolerance) -> Limit:
    """The band a share must be in; what is not in the recipe must not be in the bowl."""
    wanted = sum(old.mass_g for old in recipe.parts if old.label == part.label) / recipe.total_g
    off = tolerance.around(wanted)
    reason = "the recipe, within tolerance" if wanted else NOT_IN_IT
    low = wanted - off if wanted else None
    return share_limit(bowl, part.label, low=low, high=wanted + off, reason=reason)


def _shelf_limits(parts: list[Part], bench: Bench) -> Iterator[Limit]:
    """What there is of each stock; several parts that draw on one have it together."""
    drawing: dict[str, list[Part]] = {}
    for part in parts:
        stock = stock_of(part, bench.shelf_g)
        if stock is not None or bench.only_shelf:
            drawing.setdefault(part.label if stock is None else stock, []).append(part)
    for stock, together in drawing.items():
        first = together[0]
        there_g = _weight(bench.shelf_g.get(stock, 0.0), first.label)
        name = _weight_of(first) if len(together) == 1 else f"{_weight_of(first)} in all additions"
        row = {part.label: 1.0 for part in together}
        yield Limit(name, NO_MORE, row, None, high=sum(part.mass_g for part in together) + there_g)


def _weight(value: float, field_name: str) -> float:
    if not 0 <= value < math.inf:
        raise InputError("This is not a weight", value=value, limit="0 g or more", field=field_name)
    return value


def rescue(
    recipe: Recipe, bowl_g: Mapping[str, float], bench: Bench | None = None, foreign: tuple[Part, ...] = ()
) -> Rescue | Impossible:
    """Return the smallest additions that bring what is in the bowl back to the recipe.

    ``min sum a_i`` over ``a >= 0`` with every share of ``m + a`` within tolerance of the recipe, no more in
    the machine than it holds, no more of a part than there is, and nothing that cannot go in any more.

    Parameters
    ----------
    recipe : Recipe
        The recipe; only its shares matter.
    bowl_g : Mapping[str, float]
        Part label to what is in the bowl; it cannot come out [g].
    bench : Bench, optional
        Where the work stands; at the start, with everything to be had, where none is given.
    foreign : tuple of Part
        What is in the bowl and not in the recipe [g].

    Returns
    -------
    Rescue or Impossible
        What to add [g]; or which limits stand in the way, and how far each would have to give.

    Raises
    ------
    InputError
        If the bowl or the bench cannot be.

    Notes
    -----
    Parts still to come are among the additions: the shares are of everything, folded in or not.

    Examples
    --------
    >>> from nibsmith.science.mixture import Form, part
    >>> bar = Recipe("bar", Form.BAR, (part("cocoa_mass", 70.0), part("sugar_granulated", 30.0)))
    >>> back = rescue(bar, {"cocoa_mass": 1400.0, "sugar_granulated": 640.0})
    >>> {label: round(add_g, 1) for label, add_g in back.add_g.items()}
    {'cocoa_mass': 58.4}

    References
    ----------
    [bench-judgement]
    """
    bench = bench or Bench()
    bowl = bowl_recipe(recipe, bowl_g, foreign)
    limits = rescue_limits(recipe, bowl_g, bench, foreign)
    held = {part.label: part.mass_g for part in bowl.parts}
    solution = balance(bowl, limits, Goal(free_total=True, floor_g=held))
    return _rescue(recipe, bowl, solution) if isinstance(solution, Solution) else solution


def _rescue(recipe: Recipe, bowl: Recipe, solution: Solution) -> Rescue:
    after = solution.recipe
    wanted = {part.label: part.mass_g / recipe.total_g for part in recipe.parts}
    return Rescue(
        bowl=bowl,
        recipe=replace(after, name=recipe.name),
        add_g=solution.changes_g,
        shares={part.label: (wanted.get(part.label, 0.0), after.share(part.label)) for part in after.parts},
    )


class Stays(NamedTuple):
    """What is in a bowl and not in its recipe.

    ``now`` is its share of the bowl, ``least`` the least that additions within the limits bring it to
    [0 to 1]; ``None`` where these make it less without end.
    """

    part: Part
    now: float
    least: float | None


def what_stays(
    recipe: Recipe, bowl_g: Mapping[str, float], bench: Bench, foreign: tuple[Part, ...]
) -> tuple[Stays, ...]:
    """Return how little of what is not in the recipe can be left, all else within the limits of a rescue.

    Parameters
    ----------
    recipe : Recipe
        The recipe; only its shares matter.
    bowl_g : Mapping[str, float]
        Part label to what is in the bowl [g].
    bench : Bench
        Where the work stands.
    foreign : tuple of Part
        What is in the bowl and not in the recipe [g].

    Returns
    -------
    tuple of Stays
        One a foreign part that weighs something; none where all else cannot be brought back.

    Raises
    ------
    InputError
        If the bowl or the bench cannot be.

    Examples
    --------
    >>> from nibsmith.science.mixture import Form, part
    >>> bar = Recipe("bar", Form.BAR, (part("cocoa_mass", 70.0), part("sugar_granulated", 30.0)))
    >>> bowl = {"cocoa_mass": 700.0, "sugar_granulated": 300.0}
    >>> stays = what_stays(bar, bowl, Bench(machine_max_g=2000.0), (part("salt", 5.0),))
    >>> round(stays[0].now, 5), round(stays[0].least, 5)
    (0.00498, 0.0025)
    """
    there = [part for part in foreign if part.mass_g > 0]
    labels = frozenset(part.label for part in foreign)
    total_g = bowl_recipe(recipe, bowl_g, foreign).total_g
    found = []
    for part in there:
        others = replace(bench, left_in=labels - {part.label})
        clash = _clash_on(part, rescue(recipe, bowl_g, others, foreign))
        if clash is not None:
            found.append(Stays(part, part.mass_g / total_g, clash.works_at))
    return tuple(found)


def _clash_on(part: Part, outcome: Rescue | Impossible) -> Clash | None:
    """The quarrel with the share of a part, where giving way in it settles everything."""
    if isinstance(outcome, Rescue):
        return None
    return next(
        (
            clash
            for clash in outcome.clashes
            if clash.enough
            and clash.limit.denominator is not None
            and list(clash.limit.numerator) == [part.label]
        ),
        None,
    )
