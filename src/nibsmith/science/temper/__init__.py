"""Whether a mass sets and snaps, at which temperatures it is worked, and what its crystals do meanwhile."""

from nibsmith.science.temper.crystals import (
    ALPHA,
    BETA_PRIME,
    GROWN,
    TURNED,
    Fat,
    check_fat,
    fat_limits,
    heats,
    rates,
    seeded,
)
from nibsmith.science.temper.cup import Cup, CupCurve, cup_curve, usual_cup
from nibsmith.science.temper.curve import Arrest, CurveReading, read_curve
from nibsmith.science.temper.fat import FatPhase, cocoa_butter_limit, fat_limit, fat_phase, purity_limit
from nibsmith.science.temper.faults import Cause, Sight, Suspicion, sights, suspects
from nibsmith.science.temper.first_crystals import (
    crystal_warmth,
    melting_heat,
    mixed_with_butter,
    tabling_share,
)
from nibsmith.science.temper.fold_in import FoldIn, coolest_fold_in, heat_capacity, mixed_celsius
from nibsmith.science.temper.held import HeldBowl, coolest_hold, held_bowl, melts_away, thick_after
from nibsmith.science.temper.marks import MarkedCurve, SlopeLimits, Temper, comparable, judged, slope_limits
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
from nibsmith.science.temper.seeding import (
    Around,
    Seeding,
    Unknown,
    balanced,
    seeded_for,
    usual_around,
)
from nibsmith.science.temper.smoothing import smoothed, turns
from nibsmith.science.temper.softening import cocoa_butter_share_at, softening
from nibsmith.science.temper.solids import Crystal, growth_rate, origins, solid_fat, turning_minutes

__all__ = [
    "ALPHA",
    "BETA_PRIME",
    "GROWN",
    "TURNED",
    "Around",
    "Arrest",
    "Cause",
    "Chocolate",
    "Crystal",
    "Cup",
    "CupCurve",
    "CurveReading",
    "Fat",
    "FatNote",
    "FatPhase",
    "FoldIn",
    "HeldBowl",
    "MarkedCurve",
    "Program",
    "ProgramTable",
    "Seeding",
    "Sight",
    "SlopeLimits",
    "Suspicion",
    "Temper",
    "Unknown",
    "balanced",
    "check_fat",
    "chocolate_of",
    "cocoa_butter_limit",
    "cocoa_butter_share_at",
    "comparable",
    "coolest_fold_in",
    "coolest_hold",
    "crystal_warmth",
    "cup_curve",
    "fat_limit",
    "fat_limits",
    "fat_notes",
    "fat_phase",
    "growth_rate",
    "heat_capacity",
    "heats",
    "held_bowl",
    "judged",
    "melting_heat",
    "melts_away",
    "mixed_celsius",
    "mixed_with_butter",
    "origins",
    "program",
    "program_for",
    "purity_limit",
    "rates",
    "read_curve",
    "seeded",
    "seeded_for",
    "shifted",
    "sights",
    "slope_limits",
    "smoothed",
    "softening",
    "softest_published",
    "solid_fat",
    "suspects",
    "tabling_share",
    "thick_after",
    "turning_minutes",
    "turns",
    "usual_around",
    "usual_cup",
]
