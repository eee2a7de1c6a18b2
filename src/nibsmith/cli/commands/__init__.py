"""The commands, one module each.

A module offers ``add_arguments(parser)`` and ``run(args)``, which returns the exit code. Only the
module of the command that was typed is imported, so that one command never pays for another.
"""

from __future__ import annotations

from typing import NamedTuple


class Command(NamedTuple):
    """One command: the module behind it and what it is for, in one line."""

    module: str
    summary: str


COMMANDS: dict[str, Command] = {
    "recipe": Command("recipe", "answer from a recipe file: weights, names, keeping, allergens, cost, sheet"),
    "balance": Command("balance", "change a recipe as little as its limits ask, or say why they clash"),
    "rescue": Command("rescue", "say what to add to a bowl that does not fit its recipe"),
    "share-out": Command("share_out", "share one stock out between recipes"),
    "roasted": Command("roasted", "read a roast: its curve, its loss, an estimate of how far the heat went"),
    "grind": Command("grind", "say when a mass is fine enough, from micrometer readings"),
    "sizes": Command("sizes", "say how large grains are, from a laser's table"),
    "pour": Command("pour", "say whether a mass pours, from its figures or a recipe file"),
    "temper": Command("temper", "say at which temperatures a chocolate is tempered"),
    "seed": Command("seed", "say how much seed a melted mass wants"),
    "curve": Command("curve", "say what a cooling curve tells of the temper"),
    "fold-in": Command("fold_in", "say how far a fold-in cools a tempered mass"),
    "cool": Command("cool", "say when a bar comes off its mould"),
    "damp": Command("damp", "say whether bars out of the cold get damp in a room"),
    "faults": Command("faults", "say what may be behind a fault"),
    "ingredients": Command("ingredients", "list the ingredients, search them, or show one with its source"),
    "serve": Command("serve", "show the workshop in a browser on this computer"),
    "backup": Command("backup", "write a checked copy of the workshop's records"),
    "restore": Command("restore", "put a copy back in place of the records"),
}
