"""What a name asks that is no figure: the form, what must be there, what must not be."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from nibsmith.science.legal.dairy import Told, milk_of_list, not_buttermilk_alone, skim_milk
from nibsmith.science.legal.figures import is_buttermilk, is_ground_hazelnut, is_whey
from nibsmith.science.legal.items import FOLDED_STAGES, PIECES, Item, is_chocolate, is_cocoa
from nibsmith.science.legal.laws import Bound, Law, NameClass, words
from nibsmith.science.legal.raw import nib_gate
from nibsmith.science.legal.tally import Outcome, Tally
from nibsmith.science.legal.vegetable_fats import equivalent_fat, fat_list_not_seen, permitted_fat
from nibsmith.science.mixture import Form, Grind, Kind, Stage

FORM_WORDS: Mapping[Form, str] = {
    Form.BAR: "a bar",
    Form.DROPS: "drops",
    Form.FLAKES: "flakes",
    Form.FILLED: "a filled piece",
    Form.PRALINE: "a praline",
    Form.DRINKING: "a drinking tablet",
}

FORM = "form"
WHOLE = "whole"


@dataclass(frozen=True, slots=True)
class Gate:
    """Something that is met or not.

    ``certain`` is false where the text does not say whether it must be; ``switched_off`` where that it must
    be is known from memory only and such rules are off.
    """

    name: str
    met: bool
    reason: str
    certain: bool = True
    switched_off: bool = False


class Case:
    """A recipe before a law: its sums, its form, and whether rules from memory are on."""

    def __init__(self, tally: Tally, law: Law, form: Form, *, memory_rules: bool = False) -> None:
        self.tally = tally
        self.law = law
        self.form = form
        self.memory_rules = memory_rules
        self._gates: dict[str, Gate] = {}
        self._outcomes: dict[int, Outcome] = {}

    def any(self, which: Callable[[Item], bool]) -> bool:
        """Whether any item outside a filling is so."""
        return any(which(item) for item in self.tally.inside("shell"))

    def gate(self, name: str) -> Gate:
        """Return one gate, worked out once."""
        if name not in self._gates:
            self._gates[name] = GATES[name](self)
        return self._gates[name]

    def outcome(self, bound: Bound) -> Outcome:
        """Return how one bound comes out, worked out once."""
        if id(bound) not in self._outcomes:
            self._outcomes[id(bound)] = self.tally.outcome(bound)
        return self._outcomes[id(bound)]

    def active(self, of: NameClass, *, inside: bool = False) -> tuple[Bound, ...]:
        """Return the bounds of a name that count: those from memory only where they are on.

        As the chocolate inside another name, what is asked of the whole product does not count.
        """
        bounds = of.bounds if self.memory_rules else of.known_bounds
        return tuple(bound for bound in bounds if bound.basis != WHOLE) if inside else bounds


def form_gate(case: Case, of: NameClass) -> Gate:
    """Return whether the product has the form of a name.

    Parameters
    ----------
    case : Case
        The product, with the form it is sold as.
    of : NameClass
        The name, with the forms that it stands for.

    Returns
    -------
    Gate
        Open or closed, with the words for a closed one.
    """
    return Gate(FORM, case.form in of.forms, form_reason(case.form))


def form_reason(form: Form) -> str:
    """Return why a form keeps a name away.

    Parameters
    ----------
    form : Form
        What the product is sold as.

    Returns
    -------
    str
        Words that follow a name.

    Examples
    --------
    >>> form_reason(Form.BAR)
    'sold as a bar, it does not go by this name'
    """
    return f"sold as {FORM_WORDS[form]}, it does not go by this name"


def _sugar(case: Case) -> Gate:
    sugars = case.any(_is_sweet)
    sweet = case.any(lambda item: item.leaf.kind is Kind.SWEETENER)
    milk = case.tally.figure("ms", "shell").most > 0
    if sugars or not (sweet or milk):
        return Gate("sugar", sugars, "it holds no sugar, and chocolate is made of cocoa products and sugars")
    what = "sweeteners" if sweet else "the sugar of its milk"
    reason = (
        f"it holds {what} and no sugars; whether the name then needs a declaration is a reading of the text"
    )
    return Gate("sugar", False, reason, certain=False)


def _is_sweet(item: Item) -> bool:
    return item.leaf.kind is Kind.SUGAR or item.leaf.ingredient.composition.get("added_sugars_g", 0.0) > 0


def _milk(case: Case) -> Gate:
    return Gate("milk", case.tally.figure("ms", "part").most > 0, "it holds no milk")


def _flour(case: Case) -> Gate:
    """Flour or starch of the three plants that the names with flour are for."""
    flours = [item for item in case.tally.inside("shell") if item.leaf.kind is Kind.FLOUR]
    if not flours:
        return Gate("flour", False, "it holds no flour or starch")
    known = words("permitted_flour")
    permitted = joined_or(known["words"])
    refused = [item.leaf.ingredient.name for item in flours if _begins(item, known["refused"])]
    if refused:
        return Gate("flour", False, f"{', '.join(refused)} is no flour or starch of {permitted}")
    named = [*known["words"], *known["also"]]
    unclear = [item.leaf.ingredient.name for item in flours if not _begins(item, named)]
    return Gate("flour", not unclear, f"{', '.join(unclear)} must be of {permitted}", certain=not unclear)


def joined_or(things: Sequence[str]) -> str:
    """List things of which one is wanted."""
    return f"{', '.join(things[:-1])} or {things[-1]}"


def _begins(item: Item, known: Sequence[str]) -> bool:
    """Whether any word of a name begins with one of these: oats with oat, but licorice not with rice."""
    text = f"{item.leaf.ingredient.key} {item.leaf.ingredient.name}".lower().replace("_", " ")
    return any(word.startswith(tuple(known)) for word in text.split())


def _ground_hazelnut(case: Case) -> Gate:
    return Gate("ground_hazelnut", case.any(is_ground_hazelnut), "it holds no ground hazelnuts")


def _has_filling(case: Case) -> bool:
    return any(item.leaf.stage is Stage.FILLING for item in case.tally.items)


def _plain(case: Case) -> Gate:
    return Gate("plain", not _has_filling(case), "it has a filling")


def _filling(case: Case) -> Gate:
    return Gate("filling", _has_filling(case), "it has no filling")


def _in_pieces(item: Item) -> bool:
    leaf = item.leaf
    food = leaf.kind is Kind.OTHER_FOOD and not is_chocolate(leaf.ingredient)
    return food and (leaf.grind in PIECES or leaf.stage in FOLDED_STAGES)


def _whole(case: Case) -> Gate:
    return Gate("whole", not case.any(_in_pieces), "with other food folded in the name has to say so")


def _composite(case: Case) -> Gate:
    met = _has_filling(case) or case.any(_in_pieces)
    return Gate("composite", met, "it has neither a filling nor other food folded in")


def _only_cocoa(case: Case) -> Gate:
    other = [
        item.leaf.ingredient.name
        for item in case.tally.inside("shell")
        if not is_cocoa(item.leaf) and not (item.off and _in_pieces(item))
    ]
    solid = case.any(lambda item: is_cocoa(item.leaf) and not _butter(item))
    reason = (
        f"it is not of cocoa alone: it holds {', '.join(dict.fromkeys(other))}"
        if other
        else "it is butter alone"
    )
    return Gate("only_cocoa", solid and not other, reason)


def _vegetable_fat(case: Case) -> Gate:
    present = case.any(lambda item: item.leaf.kind is Kind.VEGETABLE_FAT)
    return Gate("vegetable_fat", present, "it holds no vegetable fat")


def _no_nibs_in_white(case: Case) -> Gate:
    strewn = case.any(
        lambda item: is_cocoa(item.leaf) and item.leaf.stage in FOLDED_STAGES and not _butter(item)
    )
    reason = "nibs are folded into or strewn on white chocolate; whether its name may stay is a reading"
    return Gate("no_nibs_in_white", not strewn, reason, certain=not strewn)


def _butter(item: Item) -> bool:
    return item.leaf.kind is Kind.BUTTER


def _buttermilk(case: Case) -> Gate:
    return Gate("buttermilk", case.any(is_buttermilk), "it holds no sweet-cream buttermilk")


def _dairy_parts(case: Case) -> Gate:
    """Two dairy components at least, none under a third of the largest, by their solids."""
    solids_g: dict[int, float] = {}
    for item in case.tally.inside("part"):
        amount = item.brings["milk_solids"]
        if item.leaf.kind is Kind.MILK and amount is not None and not is_whey(item):
            key = id(item.leaf.ingredient)
            solids_g[key] = solids_g.get(key, 0.0) + amount[1] * item.mass_g
    times = float(words("dairy_parts")["largest_over_smallest"])
    met = len(solids_g) > 1 and times * min(solids_g.values()) >= max(solids_g.values())
    return Gate(
        "dairy_parts", met, "it is not a mixture of dairy components, each at least a third of the largest"
    )


def _coarse_sugar(case: Case) -> Gate:
    coarse = case.any(lambda item: item.leaf.kind is Kind.SUGAR and item.leaf.grind is not Grind.REFINED)
    # The size of the grains is known from memory only; a drinking tablet is the usual thing of these names.
    met = coarse or (case.form is Form.DRINKING and not case.memory_rules)
    reason = "its sugar is ground fine, and from memory the name is for sugar coarser than 70 micrometres"
    on = case.memory_rules
    return Gate("coarse_sugar", met, reason, certain=on, switched_off=not on)


def _nibs(case: Case) -> Gate:
    ingredients = [item.leaf.ingredient for item in case.tally.items if item.leaf.kind is Kind.NIB]
    met, reason, certain = nib_gate(case.law.key, ingredients)
    return Gate("nibs", met, reason, certain)


def _by_items(name: str, told: Callable[[list[Item]], Told], basis: str) -> Callable[[Case], Gate]:
    """Return a gate that is told by the items of a basis."""
    return lambda case: Gate(name, *told(case.tally.inside(basis)))


GATES: Mapping[str, Callable[[Case], Gate]] = {
    "sugar": _sugar,
    "milk": _milk,
    "flour": _flour,
    "ground_hazelnut": _ground_hazelnut,
    "plain": _plain,
    "filling": _filling,
    "whole": _whole,
    "composite": _composite,
    "only_cocoa": _only_cocoa,
    "vegetable_fat": _vegetable_fat,
    "milk_of_list": _by_items("milk_of_list", milk_of_list, "part"),
    "not_buttermilk_alone": _by_items("not_buttermilk_alone", not_buttermilk_alone, "part"),
    "skim_milk": _by_items("skim_milk", skim_milk, "part"),
    "permitted_fat": _by_items("permitted_fat", permitted_fat, "shell"),
    "equivalent_fat": _by_items("equivalent_fat", equivalent_fat, "shell"),
    "fat_list": _by_items("fat_list", fat_list_not_seen, "shell"),
    "no_nibs_in_white": _no_nibs_in_white,
    "buttermilk": _buttermilk,
    "dairy_parts": _dairy_parts,
    "coarse_sugar": _coarse_sugar,
    "nibs": _nibs,
}
BY_FORM = frozenset({"plain", "whole"})
# What fails these is the thing named, with a fault; what fails any other gate is another thing.
FAULTS = frozenset({"nibs", "permitted_fat", "equivalent_fat"})
