"""What a product may be called: laws as data, judged on a recipe."""

from nibsmith.science.legal.declaration import declared_cocoa
from nibsmith.science.legal.gates import Gate
from nibsmith.science.legal.items import other_edible
from nibsmith.science.legal.judge import judge, judge_all, judge_name
from nibsmith.science.legal.laws import Bound, NameClass, classes, jurisdictions, reservation
from nibsmith.science.legal.nearest import Move, smallest_change
from nibsmith.science.legal.raw import judge_ingredient, nib_rules
from nibsmith.science.legal.requirements import gates, requirements
from nibsmith.science.legal.verdict import Allowed, Lack, NameVerdict

__all__ = [
    "Allowed",
    "Bound",
    "Gate",
    "Lack",
    "Move",
    "NameClass",
    "NameVerdict",
    "classes",
    "declared_cocoa",
    "gates",
    "judge",
    "judge_all",
    "judge_ingredient",
    "judge_name",
    "jurisdictions",
    "nib_rules",
    "other_edible",
    "requirements",
    "reservation",
    "smallest_change",
]
