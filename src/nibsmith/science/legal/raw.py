"""Rules for nibs, mass, powders and butter, which stand under the names of chocolate."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import lru_cache

from nibsmith.science.errors import InputError
from nibsmith.science.legal.verdict import Allowed, Lack, NameVerdict, weakest
from nibsmith.science.mixture import Ingredient
from nibsmith.science.tables import Status, load_rows

Rows = tuple[Mapping[str, str], ...]
BASE_WORDS = {
    "shell": "the nibs or mass without alkali",
    "shell_germ_dry": "its fat-free dry matter",
    "fat_dry": "its dry matter",
}
FIGURE_WORDS = {
    "shell": "shell",
    "shell_germ_dry": "shell and germ",
    "fat": "cocoa butter",
    "fat_dry": "cocoa butter",
    "water": "water",
    "ffa": "free fatty acids",
    "unsaponifiable": "unsaponifiable matter",
    "cocoa_powder": "cocoa powder",
}
# Below the last digit of any analysis: figures that should be equal differ by less.
FIGURE_TOLERANCE = 1e-9


@lru_cache(maxsize=1)
def _tables() -> Mapping[tuple[str, str], Mapping[str, Rows]]:
    found: dict[tuple[str, str], dict[str, Rows]] = {}
    for row in load_rows("laws_ingredients.csv"):
        names = found.setdefault((row["thing"], row["jurisdiction"]), {})
        names[row["key"]] = (*names.get(row["key"], ()), row)
    return found


def judge_ingredient(
    thing: str, jurisdiction: str, figures: Mapping[str, float], *, memory_rules: bool = False
) -> tuple[NameVerdict, ...]:
    """Return what nibs, mass, cake, powder, butter or drinking powder may be called in one jurisdiction.

    Parameters
    ----------
    thing : str
        ``nib``, ``mass``, ``cake``, ``powder``, ``butter`` or ``drinking_powder``.
    jurisdiction : str
        A key of ``jurisdictions()``.
    figures : Mapping[str, float]
        What is known of ``shell``, ``germ``, ``fat``, ``water``, ``ffa``, ``unsaponifiable`` and
        ``cocoa_powder`` [g/100 g].
    memory_rules : bool
        Whether rules known from memory only count.

    Returns
    -------
    tuple[NameVerdict, ...]
        One verdict a name; empty where the jurisdiction has no rule. The first that is allowed is the best.

    Raises
    ------
    InputError
        For a thing that is in no table.

    Notes
    -----
    A figure that is not given is unknown. Branches of a rule are alternatives: one is enough. Shell and germ
    together are counted on the fat-free dry matter, ``(shell + germ) / (100 - fat - water)``.

    Examples
    --------
    >>> [verdict.key for verdict in judge_ingredient("powder", "us", {"fat": 23.0}) if verdict.best]
    ['powder_breakfast']

    References
    ----------
    [codex141] [codex105] [codex86] [cfr21-163] [eu-2000-36]
    """
    if thing not in {key for key, _ in _tables()}:
        things = ", ".join(dict.fromkeys(key for key, _ in _tables()))
        raise InputError("No rule names this ingredient", value=thing, advice=f"There are: {things}.")
    known = {**figures, **_worked_out(figures)}
    found: list[NameVerdict] = []
    for rows in _tables().get((thing, jurisdiction), {}).values():
        active = tuple(row for row in rows if memory_rules or row["status"] != Status.MEMORY)
        taken = any(verdict.best for verdict in found)
        found.append(_judge_rows(active, known, taken=taken) if active else _switched_off(rows))
    return tuple(found)


def nib_rules(
    shell_percent: float, germ_percent: float, fat_percent: float, water_percent: float
) -> tuple[NameVerdict, ...]:
    """Return whether nibs keep the shell limits of every jurisdiction that has them.

    Parameters
    ----------
    shell_percent : float
        Shell left after winnowing [g/100 g].
    germ_percent : float
        Germ [g/100 g].
    fat_percent : float
        Fat of the nibs [g/100 g].
    water_percent : float
        Water of the nibs [g/100 g].

    Returns
    -------
    tuple[NameVerdict, ...]
        Codex (shell and germ on fat-free dry matter, or shell alone), US and Canada (shell).

    Raises
    ------
    InputError
        If fat and water leave no dry matter.

    Examples
    --------
    >>> [(verdict.jurisdiction, str(verdict.allowed)) for verdict in nib_rules(1.8, 0.3, 54.0, 2.0)]
    [('codex', 'yes'), ('us', 'no'), ('ca', 'no')]

    References
    ----------
    [codex141] [cfr21-163] [ca-fcs4]
    """
    figures = {"shell": shell_percent, "germ": germ_percent, "fat": fat_percent, "water": water_percent}
    laws = [jurisdiction for thing, jurisdiction in _tables() if thing == "nib"]
    return tuple(verdict for key in laws for verdict in judge_ingredient("nib", key, figures))


def nib_gate(jurisdiction: str, ingredients: Iterable[Ingredient]) -> tuple[bool, str, bool]:
    """Say whether nibs whose shell is given keep the limit: met, the reason, and whether that is certain."""
    for ingredient in ingredients:
        if ingredient.shell_percent is None:
            continue
        for verdict in judge_ingredient("nib", jurisdiction, _nib_figures(ingredient)):
            if verdict.allowed is Allowed.NO:
                lack = "; ".join(lack.sentence for lack in verdict.lacking)
                return False, f"{ingredient.name}, {verdict.section}: {lack}", True
            if verdict.allowed is Allowed.UNKNOWN:
                return False, f"{ingredient.name}: {verdict.depends_on}", False
    return True, "", True


def shell_limit(jurisdiction: str) -> str:
    """Return what a jurisdiction asks of the shell in nibs, in words; empty where it asks nothing."""
    rows = (row for rows in _tables().get(("nib", jurisdiction), {}).values() for row in rows)
    row = next((row for row in rows if row["figure"] == "shell"), None)
    return "" if row is None else f"at most {row['at_most']} % is asked ({row['section']})"


def _nib_figures(ingredient: Ingredient) -> dict[str, float]:
    of = ingredient.composition
    figures = {
        "shell": ingredient.shell_percent,
        "germ": ingredient.germ_percent,
        "fat": of.get("fat_g"),
        "water": of.get("water_g"),
    }
    return {key: value for key, value in figures.items() if value is not None}


def _worked_out(figures: Mapping[str, float]) -> dict[str, float]:
    dry = 100 - figures.get("water", 0.0)
    lean_dry = dry - figures.get("fat", 0.0)
    if lean_dry <= 0:
        raise InputError("Fat and water leave no dry matter", value=lean_dry, limit="over 0 g per 100 g")
    found = {}
    if {"fat", "water"} <= figures.keys():
        found["fat_dry"] = 100 * figures["fat"] / dry
    if {"shell", "germ", "fat", "water"} <= figures.keys():
        found["shell_germ_dry"] = 100 * (figures["shell"] + figures["germ"]) / lean_dry
    return found


def _judge_rows(rows: Rows, known: Mapping[str, float], *, taken: bool) -> NameVerdict:
    branches = dict.fromkeys(row["branch"] for row in rows if row["branch"]) or {"": None}
    options = [[row for row in rows if row["branch"] in ("", branch)] for branch in branches]
    results = [[_lack(row, known) for row in option] for option in options]
    kept = [all(lack is None for lack in result) for result in results]
    failed = [any(lack is not None and lack.has is not None for lack in result) for result in results]
    lacking = tuple(lack for result in results for lack in result if lack is not None)
    allowed = Allowed.YES if any(kept) else Allowed.NO if all(failed) else Allowed.UNKNOWN
    missing = ", ".join(dict.fromkeys(lack.figure for lack in lacking if lack.has is None))
    return _verdict(
        rows,
        allowed,
        best=allowed is Allowed.YES and not taken,
        lacking=() if allowed is not Allowed.NO else tuple(lack for lack in lacking if lack.has is not None),
        depends_on=f"its {missing} is not given" if allowed is Allowed.UNKNOWN else "",
    )


def _verdict(
    rows: Rows, allowed: Allowed, *, best: bool = False, lacking: tuple[Lack, ...] = (), depends_on: str = ""
) -> NameVerdict:
    row = rows[0]
    return NameVerdict(
        jurisdiction=row["jurisdiction"],
        key=row["key"],
        name=row["name"],
        allowed=allowed,
        best=best,
        lacking=lacking,
        depends_on=depends_on,
        status=weakest(*(Status(each["status"]) for each in rows)),
        section=row["section"],
        source=row["source"],
        spoken=row["name"].lower(),
        note=" ".join(dict.fromkeys(each["note"] for each in rows if each["note"])),
    )


def _switched_off(rows: Rows) -> NameVerdict:
    return _verdict(rows, Allowed.UNKNOWN, depends_on="known from memory only and switched off")


def _lack(row: Mapping[str, str], known: Mapping[str, float]) -> Lack | None:
    """Say how a row is not kept; a lack without figures means that the figure is not given."""
    words = FIGURE_WORDS[row["figure"]]
    value = known.get(row["figure"])
    if value is None:
        return Lack(words, reason=f"{words} is not given")
    side, text = ("at_least", row["at_least"]) if row["at_least"] else ("at_most", row["at_most"])
    if row["at_least"] and row["at_most"] and value > float(row["at_least"]):
        side, text = "at_most", row["at_most"]
    needs = float(text)
    slack = value - needs if side == "at_least" else needs - value
    strict = row["strict"] == "yes"
    if slack > FIGURE_TOLERANCE if strict else slack >= -FIGURE_TOLERANCE:
        return None
    sides = ("more than", "less than") if strict else ("at least", "at most")
    basis = BASE_WORDS.get(row["figure"], "it as it is")
    return Lack(words, value, needs, -slack, basis, sides[0] if side == "at_least" else sides[1])
