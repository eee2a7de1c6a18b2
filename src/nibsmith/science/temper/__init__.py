"""Whether a mass sets and snaps, and at which temperatures it is worked."""

from nibsmith.science.temper.fat import FatPhase, cocoa_butter_limit, fat_limit, fat_phase, purity_limit
from nibsmith.science.temper.fold_in import FoldIn, heat_capacity, mixed_celsius
from nibsmith.science.temper.notes import FatNote, fat_notes
from nibsmith.science.temper.programs import (
    Chocolate,
    Program,
    ProgramTable,
    chocolate_of,
    program,
    program_for,
    shifted,
    softest_published,
)
from nibsmith.science.temper.softening import cocoa_butter_share_at, softening

__all__ = [
    "Chocolate",
    "FatNote",
    "FatPhase",
    "FoldIn",
    "Program",
    "ProgramTable",
    "chocolate_of",
    "cocoa_butter_limit",
    "cocoa_butter_share_at",
    "fat_limit",
    "fat_notes",
    "fat_phase",
    "heat_capacity",
    "mixed_celsius",
    "program",
    "program_for",
    "purity_limit",
    "shifted",
    "softening",
    "softest_published",
]
