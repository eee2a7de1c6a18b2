"""Put a recipe together from the tables of its file."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from types import MappingProxyType

from nibsmith.answers.recipe_text.amounts import Made, read_amount, weigh
from nibsmith.answers.recipe_text.fields import LONGEST_NAME, LONGEST_NOTE, Fields, placed, readable
from nibsmith.answers.recipe_text.ingredients import read_ingredient
from nibsmith.answers.recipe_text.labels import label_of, means_a_part
from nibsmith.answers.recipe_text.words import (
    FORM_WORDS,
    GRIND_WORDS,
    IN_BOWL_KEYS,
    KIND_WORDS,
    PART_KEYS,
    RECIPE_KEYS,
    STAGE_WORDS,
    TOP_KEYS,
)
from nibsmith.answers.recipe_text.workshop import Workshop, read_workshop
from nibsmith.science.errors import InputError
from nibsmith.science.kit import Kit
from nibsmith.science.mixture import Form, Grind, Ingredient, Kind, Part, Recipe, Stage, part
from nibsmith.science.quantities import DecimalSign
from nibsmith.science.quantities.cleaning import shown

MOST_PARTS = 200
MOST_RECIPES = 50
MOST_LEAVES = 1000  # ingredients in a recipe once the recipes in it are opened
DEAREST = 1_000_000  # per kg, in any currency; more is a slip
EMPTY: Mapping[str, object] = MappingProxyType({})
NO_MASSES: Mapping[str, float] = MappingProxyType({})


@dataclass(frozen=True)
class InBowl:
    """What is weighed already: parts by label [g], and things that the recipe does not have."""

    parts_g: Mapping[str, float] = field(default_factory=lambda: NO_MASSES)
    foreign: tuple[Part, ...] = ()

    def __bool__(self) -> bool:
        return bool(self.parts_g or self.foreign)


@dataclass(frozen=True)
class RecipeFile:
    """What a recipe file says.

    ``limits`` is the table ``[limits]`` as typed, for ``balance``; ``in_bowl`` is what is weighed already;
    ``by_shares`` says that the file gives shares alone, read here at 1 kg; ``remarks``
    are sentences to show.
    """

    recipe: Recipe
    limits: Mapping[str, object] = field(default_factory=lambda: EMPTY)
    in_bowl: InBowl = field(default_factory=InBowl)
    workshop: Workshop = field(default_factory=Workshop)
    by_shares: bool = True
    remarks: tuple[str, ...] = ()
    decimal_sign: DecimalSign | None = None


class Assembly:
    """One file while its recipes are put together."""

    def __init__(
        self, values: object, name_hint: str, cavity_g: Decimal | None = None, kit: Kit | None = None
    ) -> None:
        self.top = Fields(values, "", TOP_KEYS)
        self.name_hint = name_hint
        self.sign = _decimal_sign(self.top)
        self.workshop = read_workshop(self.top.raw("workshop") or {}, self.sign)
        mould = self.workshop.mould
        dried = kit or self.workshop.kit
        self.made = Made(
            cavity_g or (Decimal(str(mould.cavity_g)) if mould else None),
            None if dried is None else dried.usual_end_water_percent,
        )
        self.inner = self._inner()
        self.done: dict[str, Recipe] = {}
        self.opening: list[str] = []
        self.remarks: list[str] = []

    def read(self) -> RecipeFile:
        """Read everything the file says."""
        recipe, by_shares = self._recipe(self.top, self.name_hint or "Recipe")
        return RecipeFile(
            recipe=recipe,
            limits=MappingProxyType(dict(_table(self.top, "limits"))),
            in_bowl=self._in_bowl(recipe),
            workshop=self.workshop,
            by_shares=by_shares,
            remarks=tuple(self.remarks),
            decimal_sign=self.sign,
        )

    def _inner(self) -> Mapping[str, Fields]:
        tables = _table(self.top, "recipes")
        if len(tables) > MOST_RECIPES:
            raise InputError(
                "These are too many recipes", value=len(tables), limit=MOST_RECIPES, field="recipes"
            )
        return {
            readable(name, "recipes", LONGEST_NAME): Fields(table, f"recipes.{shown(name)}", RECIPE_KEYS)
            for name, table in tables.items()
        }

    def _recipe(self, fields: Fields, default_name: str) -> tuple[Recipe, bool]:
        rows = fields.rows("part", MOST_PARTS)
        if not rows:
            raise InputError(
                "The recipe has no parts",
                advice="Write [[part]] and under it ingredient and mass.",
                field=fields.path,
            )
        parts = [
            Fields(row, f"{fields.at('part')}[{number}]", PART_KEYS) for number, row in enumerate(rows, 1)
        ]
        made = [self._part(row) for row in parts]
        _check_labels(made, parts)
        _check_leaves(made, fields.path)
        typed = [read_amount(row, part.stage, self.sign) for row, part in zip(parts, made, strict=True)]
        form = fields.choice("form", Form, FORM_WORDS) or Form.BAR
        name = fields.text("name") or default_name
        # Masses come from what is typed; a recipe of no weight at all cannot be, so each starts at one gram.
        unweighed = Recipe(name, form, tuple(part.weighing(1.0) for part in made), _notes(fields))
        weighed = weigh(unweighed, typed, self.made, fields.at("part"))
        self.remarks += weighed.remarks
        return weighed.recipe, weighed.by_shares

    def _part(self, row: Fields) -> Part:
        if ("ingredient" in row) == ("recipe" in row):
            advice = "Write ingredient or recipe, one of them."
            raise InputError("It is not said what this part is", advice=advice, field=row.path)
        thing = read_ingredient(row) if "ingredient" in row else self._recipe_inside(row)
        facts = {
            "label": row.text("label"),
            "kind": row.choice("kind", Kind, KIND_WORDS),
            "stage": row.choice("stage", Stage, STAGE_WORDS),
            "grind": row.choice("grind", Grind, GRIND_WORDS),
            "price_per_kg": row.number("price_per_kg", high=Decimal(DEAREST)),
        }
        return part(thing, 0.0, **{key: value for key, value in facts.items() if value is not None})

    def _recipe_inside(self, row: Fields) -> Recipe:
        alone = row.given(("kind", "fat_g", "shell_percent", "germ_percent"))
        if alone:
            advice = "Write it beside the ingredient inside that recipe."
            raise InputError("A recipe as a part has none of its own", advice=advice, field=row.at(alone[0]))
        name = row.text("recipe") or ""
        where = row.at("recipe")
        if name not in self.inner:
            advice = (
                f"There are: {', '.join(self.inner)}." if self.inner else f"Write it as [recipes.{name}]."
            )
            raise InputError(
                "The file holds no recipe of this name", value=shown(name), advice=advice, field=where
            )
        if name in self.opening:
            way = " -> ".join((*self.opening, name))
            raise InputError("A recipe cannot be inside itself", value=way, field=where)
        if name not in self.done:
            self.opening.append(name)
            self.done[name], _ = self._recipe(self.inner[name], name)
            self.opening.pop()
        return self.done[name]

    def _in_bowl(self, recipe: Recipe) -> InBowl:
        """Read what is weighed already: parts of the recipe, and things that are not in it."""
        found: dict[str, float] = {}
        foreign: list[Part] = []
        for number, row in enumerate(self.top.rows("in_bowl", MOST_PARTS), 1):
            fields = Fields(row, f"in_bowl[{number}]", IN_BOWL_KEYS)
            mass = fields.mass("mass", self.sign)
            if mass is None:
                raise InputError("It is not said how much is in the bowl", field=fields.at("mass"))
            label, thing = _thing_in_bowl(fields, recipe)
            if label in found or any(label == other.label for other in foreign):
                raise InputError("This is in the bowl twice", value=shown(label), field=fields.path)
            if thing is None:
                found[label] = float(mass)
            else:
                foreign.append(part(thing, float(mass), label=label))
        return InBowl(MappingProxyType(found), tuple(foreign))


def _table(fields: Fields, key: str) -> Mapping[str, object]:
    value = fields.raw(key)
    if value is None:
        return {}
    if not isinstance(value, dict):
        raise InputError(f"This must be a table, headed [{key}]", field=key)
    return value


def _decimal_sign(fields: Fields) -> DecimalSign | None:
    sign = fields.text("decimal_sign")
    if sign is None:
        return None
    if sign == ".":
        return "."
    if sign == ",":
        return ","
    raise InputError("The decimal sign is a point or a comma", value=shown(sign), field="decimal_sign")


def _notes(fields: Fields) -> Mapping[str, str]:
    notes = _table(fields, "notes")
    where = fields.at("notes")
    wrong = next((name for name, note in notes.items() if not isinstance(note, str)), None)
    if wrong is not None:
        raise InputError("A note is text in quotes", value=shown(wrong), field=where)
    return MappingProxyType(
        {
            readable(name, where, LONGEST_NAME): readable(str(note), where, LONGEST_NOTE)
            for name, note in notes.items()
        }
    )


def _check_labels(parts: Sequence[Part], rows: Sequence[Fields]) -> None:
    seen: set[str] = set()
    for made, row in zip(parts, rows, strict=True):
        if made.label in seen:
            raise InputError(
                "Two parts have the same label",
                value=shown(made.label),
                advice='Give each its own, such as label = "sugar, second addition".',
                field=row.path,
            )
        seen.add(made.label)


def _check_leaves(parts: Sequence[Part], path: str) -> None:
    """Count the ingredients before anything opens them: recipes inside recipes multiply."""
    leaves = sum(1 if isinstance(made.of, Ingredient) else sum(1 for _ in made.of.leaves()) for made in parts)
    if leaves > MOST_LEAVES:
        raise InputError(
            "The recipes inside hold too many ingredients", value=leaves, limit=MOST_LEAVES, field=path
        )


def _thing_in_bowl(fields: Fields, recipe: Recipe) -> tuple[str, Ingredient | None]:
    """Return the label of a part, or a label and the ingredient that the recipe does not have."""
    given = fields.given(("label", "ingredient"))
    if len(given) != 1:
        raise InputError(
            "It is not said what is in the bowl", advice="Write label or ingredient.", field=fields.path
        )
    if given == ["ingredient"]:
        thing = read_ingredient(fields)
        word = thing.key or thing.name
        if not means_a_part(recipe, word):
            return word, thing
    else:
        word = fields.text("label") or ""
    return placed(lambda: label_of(recipe, word), fields.at(given[0])), None
