"""What is printed: sheets as PDF, set from the cards of the answers."""

from nibsmith.paper.fonts import unprintable
from nibsmith.paper.leaf import Leaf, leaf_pdf
from nibsmith.paper.render import Paper
from nibsmith.paper.sheet import sheet_pdf, sheet_pictures

__all__ = ["Leaf", "Paper", "leaf_pdf", "sheet_pdf", "sheet_pictures", "unprintable"]
