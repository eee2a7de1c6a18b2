"""Grinding by hand on the command line: the charge that nobody typed."""

from __future__ import annotations

import re

from command_line import nibsmith_here


def test_a_usual_charge_fits_the_kit_and_a_typed_one_that_does_not_is_refused() -> None:
    words = ("grind", "--kit", "blender", "--hours", "1")
    usual, typed = nibsmith_here(*words).stdout, nibsmith_here(*words, "--charge", "2 kg").stdout
    assert re.search(r"Charge +1.000.g +usual", usual)
    assert "such a charge is not known" not in usual
    assert re.search(r"Charge +2.000.g +yours", typed)
    assert "such a charge is not known" in typed
