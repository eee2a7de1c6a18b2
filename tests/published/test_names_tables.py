"""The law tables against a second, independent typing of the published figures, one standard after the other.

Codex: table 1 of CXS 87-1981 (rev. 2003) [codex87]. EU: Annex I of Directive 2000/36/EC and its Art. 3(5)
[eu-2000-36]; the UK keeps the same table [uk-2003-1659]. US: 21 CFR 163.123 to 163.150 [cfr21-163]. Canada:
[ca-fcs4]. The others: the sources named in docs/references.md under the key of the row.
"""

from __future__ import annotations

import csv

import pytest

from nibsmith.science.legal import classes, jurisdictions
from nibsmith.science.tables import Status

# Least (or, with a sign, other) percent: < is strictly less, = is at most. Empty means no rule of that kind.
PUBLISHED = """\
jurisdiction,key,basis,tdcs,cb,ffdcs,mf,ms,law_fat,other
codex,chocolate,dry,35,18,14,,,,
codex,taza,dry,35,18,14,,,,flour<8
codex,sweet,dry,30,18,12,,,,
codex,familiar_taza,dry,30,18,12,,,,flour<18
codex,couverture,dry,35,31,2.5,,,,
codex,milk_low,dry,25,,2.5,2.5,12,,
codex,milk_high,dry,25,,2.5,3.5,14,,
codex,family_milk,dry,20,,2.5,5,20,,
codex,milk_couverture,dry,25,,2.5,3.5,14,31,
codex,white_low,dry,,20,,2.5,14,,
codex,white_high,dry,,20,,3.5,14,,
codex,gianduja,dry,32,,8,,,,hazel>20 hazel=40 nuts=60 ms=5
codex,gianduja_milk_low,dry,25,,2.5,2.5,10,,hazel>15 hazel=40 nuts=60
codex,gianduja_milk_high,dry,25,,2.5,3.5,10,,hazel>15 hazel=40 nuts=60
codex,para_mesa,dry,20,11,9,,,,
codex,para_mesa_semibitter,dry,30,15,14,,,,
codex,para_mesa_bitter,dry,40,22,18,,,,
codex,vermicelli,dry,32,12,14,,,,
codex,milk_vermicelli,dry,20,,2.5,3,12,,
codex,cocoa_mass,part,,47,,,,,cb=60
codex,filled,whole,,,,,,,shell>25
codex,praline,whole,,,,,,,chocolate>25
eu,chocolate,part,35,18,14,,,,
eu,vermicelli,part,32,12,14,,,,
eu,couverture,part,35,31,2.5,,,,
eu,gianduja,part,32,,8,,,,hazel>20 hazel=40 nuts=60 ms=5
eu,milk,part,25,,2.5,3.5,14,25,
eu,milk_vermicelli,part,20,,,,12,12,
eu,milk_couverture,part,25,,2.5,3.5,14,31,
eu,gianduja_milk,part,,,,,10,,hazel>15 hazel=40 nuts=60
eu,cream,part,25,,2.5,5.5,14,25,
eu,skimmed,part,25,,2.5,,14,25,mf=1
eu,family_milk,part,20,,2.5,5,20,25,
eu,white,part,,20,,3.5,14,,
eu,taza,part,35,18,14,,,,flour=8
eu,familiar_taza,part,30,18,12,,,,flour=18
eu,quality_chocolate,part,43,26,,,,,
eu,quality_milk,part,30,,,4.5,18,,
eu,quality_couverture,part,,,16,,,,
eu,filled,whole,,,,,,,shell>25
eu,praline,whole,,,,,,,chocolate>25
us,sweet,part,,,,,,,liquor>15 ms<12
us,semisweet,part,,,,,,,liquor>35 ms<12
us,white,part,,20,,3.5,14,,sweet=55
us,milk,part,,,,3.39,12,,liquor>10
us,skim_milk,part,,,,,12,,liquor>10 mf<3.39
us,buttermilk,part,,,,,12,,liquor>10 mf<3.39
us,mixed_dairy,part,,,,,12,,liquor>10
us,milk_coating,part,,,,,12,,liquor>10
us,sweet_coating,part,,,,,,,liquor>15 ms<12
us,cocoa_coating,dry,,,6.8,,,,
us,cocoa_mass,part,,50,,,,,cb=60
ca,dark,part,35,18,14,,,,ms<5
ca,sweet,part,30,18,12,,,,ms<12
ca,milk,part,25,15,2.5,3.39,12,,whey=5
ca,white,part,,20,,3.5,14,,whey<5
ca,cocoa_mass,part,,50,,,,,
ch,chocolate,part,35,18,14,,,,
ch,milk,part,25,,2.5,3.5,14,25,
ch,family_milk,part,20,,2.5,5,20,25,
ch,white,part,,20,,3.5,14,,
ch,filled,whole,,,,,,,shell>25
ch,praline,whole,,,,,,,chocolate>25
tr,chocolate,part,35,18,14,,,,
tr,milk,part,25,,2.5,3.5,14,25,
tr,white,part,,20,,3.5,14,,
jp,chocolate,part,35,18,,,,,
jp,chocolate_dairy,part,21,18,,3,,,cpm>35
jp,white,part,21,18,,3,,,cpm>35
jp,white_basic,part,35,18,,,,,
jp,milk,part,21,18,,3,14,,
jp,quasi,part,15,3,,,,,any_fat>18
jp,quasi_milk,part,7,3,,2,12.5,,any_fat>18
jp,confectionery,whole,,,,,,,chocolate>40 chocolate<60
kr,chocolate,part,30,18,12,,,,
kr,milk,part,20,,2.5,2.5,12,,
kr,white,part,,20,,2.5,14,,
kr,quasi,part,7,,,,,,
tw,dark,part,35,18,14,,,,
tw,milk,part,25,,2.5,,12,,
tw,white,part,,20,,,14,,
tw,composite,whole,,,,,,,chocolate>25
br,chocolate,whole,25,,,,,,
br,white,whole,,20,,,,,
au-nz,chocolate,whole,,,,,,,cocoa_weighed>20
eaeu,chocolate,part,35,18,14,,,,
eaeu,bitter,part,55,33,,,,,
eaeu,dark,part,40,20,,,,,
eaeu,white,part,,20,,3.5,14,,
eaeu,milk,part,,,,,,25,
eaeu,product,whole,,,,,,,chocolate>25
eaeu,cocoa_mass,part,,50,,,,,cb=58
in,milk,dry,,,2.5,2,,25,msnf>10.5
in,plain,dry,,,12,,,25,
in,dark,dry,35,18,14,,,25,
in,white,dry,,,,2,,25,msnf>10.5
in,blended,dry,,,3,,,25,msnf>1 msnf=9
in,praline,whole,,,,,,,chocolate>25
"""
ROWS = list(csv.DictReader(PUBLISHED.splitlines()))
# The UK keeps the table of the directive.
ROWS += [{**row, "jurisdiction": "uk"} for row in ROWS if row["jurisdiction"] == "eu"]
NO_FIGURES = {"cocoa_only", "processed"}  # names whose only rule is what they are made of
# What the tables add by reading one text like another: jurisdictions, name, figure, side, percent.
READ_INTO = (
    ("eu uk", "milk_vermicelli", "ffdcs", "more than", 0),  # milk chocolate holds cocoa other than butter
    ("eu uk", "gianduja_milk", "tdcs", "at least", 25),  # milk chocolate as its base, Annex I A.4(a)
    ("eu uk", "gianduja_milk", "ffdcs", "at least", 2.5),
    ("eu uk", "gianduja_milk", "mf", "at least", 3.5),
    ("eu uk", "gianduja_milk", "law_fat", "at least", 25),
    ("eaeu", "bitter", "ffdcs", "at least", 14),  # a kind of chocolate, which asks 14
    ("eaeu", "dark", "ffdcs", "at least", 14),
    ("eu uk ch in tr", "cocoa_mass", "cb", "at least", 47),  # cocoa mass as CXS 141 has it
    ("eu uk ch in tr", "cocoa_mass", "cb", "at most", 60),
    ("ca", "cocoa_mass", "cb", "at most", 60),  # the upper end of 21 CFR 163.111
)
# Annex I A.4: these milk solids are of milk, cream, butter or milk fat; buttermilk is not on the list.
LISTED_MILK = {"eu", "uk", "ch", "tr"}
FINISHED = {"hazel", "nuts", "ms"}  # of a gianduja these are counted in the finished product

Rule = tuple[str, str, float, str]


def published(row: dict[str, str]) -> set[Rule]:
    rules = {
        (figure, "at least", float(row[figure]), row["basis"])
        for figure in ("tdcs", "cb", "ffdcs", "mf", "ms", "law_fat")
        if row[figure]
    }
    sides = {">": "at least", "<": "less than", "=": "at most"}
    for text in row["other"].split():
        sign = next(sign for sign in sides if sign in text)
        figure, number = text.split(sign)
        gianduja = "gianduja" in row["key"] and figure in FINISHED
        rules.add((figure, sides[sign], float(number), "shell" if gianduja else row["basis"]))
    if row["jurisdiction"] in LISTED_MILK:
        rules = {("ms_listed", *rule[1:]) if rule[:2] == ("ms", "at least") else rule for rule in rules}
    return rules | read_into(row["jurisdiction"], row["key"])


def read_into(jurisdiction: str, key: str) -> set[Rule]:
    return {
        (figure, side, float(percent), "part")
        for places, name, figure, side, percent in READ_INTO
        if jurisdiction in places.split() and name == key
    }


@pytest.mark.parametrize(("places", "key"), dict.fromkeys((row[0], row[1]) for row in READ_INTO))
def test_what_is_read_into_a_text_says_so(places: str, key: str) -> None:
    for jurisdiction in places.split():
        figures = {(figure, side) for figure, side, _, _ in read_into(jurisdiction, key)}
        bounds = classes(jurisdiction)[key].bounds
        read = [bound for bound in bounds if (bound.figure, bound.side) in figures and not bound.shared]
        assert len(read) == len(figures)
        assert {bound.status for bound in read} == {Status.JUDGEMENT}
        assert all(bound.note for bound in read)


@pytest.mark.parametrize("row", ROWS, ids=lambda row: f"{row['jurisdiction']}-{row['key']}")
def test_the_figures_of_a_name_are_the_published_ones(row: dict[str, str]) -> None:
    bounds = [bound for bound in classes(row["jurisdiction"])[row["key"]].bounds if not bound.shared]
    assert {
        (bound.figure, bound.side, round(100 * bound.share, 6), bound.basis) for bound in bounds
    } == published(row)


def test_every_name_with_figures_was_typed_twice() -> None:
    typed = {(row["jurisdiction"], row["key"]) for row in ROWS}
    typed |= {(jurisdiction, row[1]) for row in READ_INTO for jurisdiction in row[0].split()}
    held = {(key, name) for key in jurisdictions() for name in classes(key)}
    assert {pair for pair in held - typed if pair[1] not in NO_FIGURES} == set()
    assert typed - held == set()


# What many names of a jurisdiction share: figure, side, percent, basis.
SHARED: dict[str, set[Rule]] = {
    "codex": {("oef", "at most", 40, "shell"), ("vf", "at most", 5, "part")},
    "eu": {("oef", "at most", 40, "shell"), ("vf", "at most", 5, "part")},
    "uk": {("oef", "at most", 40, "shell"), ("vf", "at most", 5, "part")},
    # The Swiss share of vegetable fat is of all but other foods: flavourings and emulsifiers stay in.
    "ch": {("oef", "at most", 40, "shell"), ("vf", "at most", 5, "foodless")},
    "us": {
        ("emulsifier", "at most", 1, "part"),
        ("emulsifier", "at most", 1.5, "part"),
        ("whey", "at most", 5, "part"),
    },
    "ca": {("emulsifier", "at most", 1.5, "part")},
    "jp": {("chocolate", "at least", 60, "whole"), ("water", "at most", 3, "part")},
    "tw": {("vf", "at most", 5, "whole")},
    "in": {("vf", "at most", 5, "part")},
    "tr": set(),
    "eaeu": {("vf", "at most", 5, "part")},
    "au-nz": {("other_oils", "at most", 5, "whole")},
    "kr": set(),
    "br": set(),
}
# The same, as far as it is read into a text; what is in doubt stands apart.
SHARED_READ_INTO: dict[str, set[Rule]] = {
    # Nuts of a gianduja to 60 %, other foods inside these; a bar of cocoa alone keeps the cap of 40 %.
    "codex": {("oef", "at most", 60, "shell"), ("oef", "at most", 40, "shell")},
    "eu": {("oef", "at most", 60, "shell"), ("oef", "at most", 40, "shell")},
    "uk": {("oef", "at most", 60, "shell"), ("oef", "at most", 40, "shell")},
    "ch": {("oef", "at most", 40, "shell")},
    "tr": {("oef", "at most", 40, "shell"), ("vf", "at most", 5, "part")},  # as the directive
    "eaeu": {("chocolate", "at least", 25, "whole")},  # under it it is no chocolate product
}
DOUBTED: dict[str, set[Rule]] = {key: {("oef", "at most", 40, "whole")} for key in ("us", "ca", "in", "eaeu")}


@pytest.mark.parametrize("jurisdiction", SHARED)
def test_what_names_share_is_as_published(jurisdiction: str) -> None:
    bounds = {bound for name in classes(jurisdiction).values() for bound in name.bounds if bound.shared}
    found: dict[str, set[Rule]] = {"read": set(), "read into it": set(), "in doubt": set()}
    for bound in bounds:
        rule = (bound.figure, bound.side, round(100 * bound.share, 6), bound.basis)
        into = "read into it" if bound.status is Status.JUDGEMENT else "read"
        if bound.share > 0 and bound.figure != "oef_not_nuts":
            found["in doubt" if bound.doubt else into].add(rule)
    assert found == {
        "read": SHARED[jurisdiction],
        "read into it": SHARED_READ_INTO.get(jurisdiction, set()),
        "in doubt": DOUBTED.get(jurisdiction, set()),
    }


def test_north_america_allows_no_vegetable_fat_in_plain_names() -> None:
    for jurisdiction, key in (
        ("us", "semisweet"),
        ("us", "milk"),
        ("us", "white"),
        ("ca", "dark"),
        ("ca", "milk"),
    ):
        bounds = classes(jurisdiction)[key].bounds
        assert any(bound.figure == "vf" and bound.high == 0.0 for bound in bounds)
