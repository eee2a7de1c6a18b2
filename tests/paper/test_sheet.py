"""The batch sheet on paper: every weight, whatever is typed, the same bytes each time."""

from __future__ import annotations

import hashlib
import io
import re
import struct
import subprocess
import sys

import pytest
from pypdf import PdfReader

from nibsmith.answers.context import Context
from nibsmith.answers.sheet import Sheet, batch_sheet
from nibsmith.paper import Paper, sheet_pdf, sheet_pictures
from nibsmith.science.kit import Mould, kit
from nibsmith.science.mixture import Form, Kind, Recipe, Stage, ingredients, own_ingredient, part

EVIL = '#evil[] $x$ *b* _i_ `c` <l> @r // \\u{41} "q" {{ }} #import "/etc/passwd"'


def small() -> Sheet:
    parts = (
        part("cocoa_nibs_roasted", 1040.0),
        part("sugar_granulated", 674.0),
        part("cocoa_butter", 40.0),
        part("lecithin_soy", 4.0),
        part("vanilla_bean", 2.0),
        part("hazelnut_dry_roasted", 240.0),
    )
    here = Context(kit=kit("stone"), mould=Mould("Bar", 70.0, 3))
    return batch_sheet(Recipe("Lantern Street 60", Form.BAR, parts), here, "Version 3")


def long() -> Sheet:
    parts = [part(key, 10.0 + index) for index, key in enumerate(list(ingredients())[:60])]
    return batch_sheet(Recipe("Everything", Form.BAR, tuple(parts)), Context(kit=kit("blender")), "Version 1")


def pages(pdf: bytes) -> list[str]:
    """Text of every page, all kinds of space as one."""
    return [" ".join(page.extract_text().split()) for page in PdfReader(io.BytesIO(pdf)).pages]


def spaced(text: str) -> str:
    return " ".join(text.split())


@pytest.mark.parametrize("sheet", [small(), long()], ids=["small", "long"])
@pytest.mark.parametrize("paper", Paper)
def test_every_weight_and_name_is_printed(sheet: Sheet, paper: Paper) -> None:
    text = " ".join(pages(sheet_pdf(sheet, paper)))

    assert sheet.weigh.rows
    for row in sheet.weigh.rows:
        assert spaced(f"{row.metric} {row.imperial} {row.share}") in text
        assert spaced(row.name) in text
    for fold in sheet.fold_in.rows if sheet.fold_in else ():
        assert spaced(f"{fold.planned} {fold.per_kg} {fold.in_recipe}") in text


def test_every_card_is_printed() -> None:
    sheet = small()
    text = " ".join(pages(sheet_pdf(sheet)))

    told = [value for _, value in (*sheet.kit.facts, *sheet.temper.rows, *sheet.moulds.facts)]  # type: ignore[union-attr]
    told += [step.title for step in sheet.steps] + [*sheet.blanks, *sheet.tasting]
    assert [words for words in told if spaced(words) not in text] == []
    assert text.count("Salmonella") == 1


def test_the_same_sheet_gives_the_same_bytes() -> None:
    assert sheet_pdf(small()) == sheet_pdf(small())


def test_the_same_bytes_come_out_of_another_process() -> None:
    code = (
        "import hashlib, importlib.util as u, sys;"
        f"s = u.spec_from_file_location('t', {__file__!r});"
        "m = u.module_from_spec(s); s.loader.exec_module(m);"
        "sys.stdout.write(hashlib.sha256(m.sheet_pdf(m.small())).hexdigest())"
    )

    other = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True).stdout

    assert other == hashlib.sha256(sheet_pdf(small())).hexdigest()


def test_the_document_has_a_title_a_language_and_no_date() -> None:
    reader = PdfReader(io.BytesIO(sheet_pdf(small())))

    assert reader.metadata is not None
    assert reader.metadata.title == "Lantern Street 60, Version 3, batch sheet"
    assert reader.metadata.creation_date is None
    assert reader.metadata.modification_date is None
    assert reader.trailer["/Root"]["/Lang"] == "en-GB"
    assert reader.trailer["/Root"]["/MarkInfo"]["/Marked"]


def test_only_the_one_typeface_is_used() -> None:
    reader = PdfReader(io.BytesIO(sheet_pdf(long())))
    fonts = {
        str(font.get_object()["/BaseFont"]).partition("+")[2].partition("-")[0]
        for page in reader.pages
        for font in page["/Resources"]["/Font"].values()
    }

    assert fonts == {"OpenSans"}


@pytest.mark.parametrize(("paper", "points"), [(Paper.A4, (595, 842)), (Paper.LETTER, (612, 792))])
def test_the_paper_is_the_one_asked_for(paper: Paper, points: tuple[int, int]) -> None:
    for page in PdfReader(io.BytesIO(sheet_pdf(small(), paper))).pages:
        assert (round(page.mediabox.width), round(page.mediabox.height)) == points


def test_every_page_has_its_number_and_the_name_of_the_recipe() -> None:
    found = pages(sheet_pdf(long()))

    assert len(found) >= 5
    for number, text in enumerate(found, 1):
        assert f"Page {number} of {len(found)}" in text
        assert "Everything, Version 1" in text


def test_a_long_table_repeats_its_head_on_every_page() -> None:
    found = pages(sheet_pdf(long()))
    with_rows = [text for text in found if re.search(r"\d oz \d+\.\d %", text)]

    assert len(with_rows) >= 2
    assert all("Part Weigh lb and oz Of everything Weighed" in text for text in with_rows)


def test_a_small_sheet_takes_three_pages() -> None:
    assert len(pages(sheet_pdf(small()))) == 3


def test_what_is_typed_stays_text() -> None:
    own = own_ingredient(EVIL, Kind.OTHER_FOOD, {"water_g": 1.0, "fat_g": 10.0}, stage=Stage.WITH_SUGAR)
    sheet = batch_sheet(Recipe(EVIL, Form.BAR, (part("cocoa_mass", 90.0), part(own, 10.0))), Context(), EVIL)

    # Line breaks of the print may fall inside the typed text, so it is compared without spaces.
    text = "".join(pages(sheet_pdf(sheet))).replace(" ", "")

    assert text.count(EVIL.replace(" ", "")) >= 3


def test_signs_that_the_typeface_lacks_are_told_on_the_sheet() -> None:
    sheet = batch_sheet(Recipe("日本 70", Form.BAR, (part("cocoa_mass", 90.0),)), Context())

    text = " ".join(pages(sheet_pdf(sheet)))

    assert "◊◊ 70" in text
    assert "◊ stands for a sign" in text
    assert "◊" not in " ".join(pages(sheet_pdf(small())))


def test_one_picture_comes_for_each_page() -> None:
    pictures = sheet_pictures(small(), dots_per_inch=36)

    assert len(pictures) == len(pages(sheet_pdf(small())))
    for picture in pictures:
        assert picture.startswith(b"\x89PNG")
        assert struct.unpack(">II", picture[16:24]) == (298, 421)  # A4 at 36 dots to the inch


def test_the_typesetter_is_loaded_only_to_print() -> None:
    code = (
        "import sys, nibsmith.paper, nibsmith.answers.sheet;"
        "print([name for name in ('typst', 'scipy', 'django') if name in sys.modules])"
    )

    out = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True).stdout

    assert out.strip() == "[]"
