"""Will it set and snap: fat to run into a mould, cocoa butter to be hard, and the temper program."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace

from nibsmith.answers._setting import Setting, setting_of
from nibsmith.answers._snap_cooled import with_cooling
from nibsmith.answers._snap_remedies import remedies
from nibsmith.answers._temper_words import program_detail, shift_words, work_words
from nibsmith.answers.answer import Answer, Citation, Verdict, worst
from nibsmith.answers.context import Context
from nibsmith.answers.wording import joined
from nibsmith.science.errors import InputError, UnknownFigure
from nibsmith.science.mixture import BASIS_WORDS, Basis, Form, Recipe, Span
from nibsmith.science.tables import load
from nibsmith.science.temper import Chocolate, fat_notes, softest_published
from nibsmith.science.temper.fat import cocoa_butter_key

_WORDS = {
    Verdict.GOOD: "Yes, tempered well.",
    Verdict.WATCH: "Mind it.",
    Verdict.STOP: "Not in a mould.",
    Verdict.UNKNOWN: "Cannot tell.",
}
ON_PURPOSE = (
    "A drinking tablet may be left untempered on purpose: it sets slowly, soft and dull, and bloom on it is "
    "no fault, for it melts in the cup."
)
_NOT_MOULDED = (
    "These limits are for chocolate poured into moulds; flakes and vermicelli are pressed or scraped."
)


@dataclass(frozen=True)
class _Finding:
    """One thing that bears on setting."""

    verdict: Verdict
    words: str


def snap(recipe: Recipe, context: Context) -> Answer:
    """Answer whether a mass sets and snaps, and at which temperatures it is worked.

    Parameters
    ----------
    recipe : Recipe
        The recipe, nested recipes opened up; what is folded in changes nothing on the day.
    context : Context
        Its scale rounds the weights in the remedies; where its process says how the moulds are cooled, the
        answer tells how the bar sets there.

    Returns
    -------
    Answer
        The figure is the total fat of the mass in the machine, with its range from the lot of nibs [%]; a
        range without a figure where the fat of a part is not given.

    Examples
    --------
    >>> from nibsmith.science.mixture import Form, part
    >>> bar = Recipe("bar", Form.BAR, (part("cocoa_mass", 45.0), part("sugar_granulated", 55.0)))
    >>> snap(bar, Context()).verdict.value
    'stop'
    """
    answer = _judged(recipe)
    if recipe.form not in (Form.DRINKING, Form.FLAKES):
        answer = replace(answer, remedies=tuple(remedies(recipe, context, answer.verdict, _verdict)))
    return with_cooling(answer, recipe, context)


def _verdict(recipe: Recipe) -> Verdict:
    """The verdict alone: what a remedy is asked again with."""
    return _judged(recipe).verdict


def _judged(recipe: Recipe) -> Answer:
    try:
        setting = setting_of(recipe)
    except (UnknownFigure, InputError) as error:
        return _untold(str(error))
    findings = _for_form(recipe.form, [*_of_fat(setting), *_of_softness(recipe, setting)])
    verdict = worst(one.verdict for one in findings)
    told = not any(one.words == _not_given(setting) for one in findings)
    total = setting.fat.total_percent
    return Answer(
        question="snap",
        title="Will it set and snap?",
        verdict=verdict,
        word="As you choose." if recipe.form is Form.DRINKING else _WORDS[verdict],
        sentence=" ".join(_sentences(recipe.form, verdict, findings, setting)),
        figure=total.value if told and not _is_open(setting) else None,
        unit="%" if told else "",
        low=total.low if told else None,
        high=total.high if told else None,
        basis=BASIS_WORDS[Basis.MACHINE],
        reasons=tuple(_reasons(recipe, findings, setting)),
        sources=tuple(_sources(setting)),
        details=program_detail(setting.program),
    )


def _untold(why: str) -> Answer:
    return Answer("snap", "Will it set and snap?", Verdict.UNKNOWN, _WORDS[Verdict.UNKNOWN], why)


def _of_fat(setting: Setting) -> Iterator[_Finding]:
    table, fat = load("temper"), setting.fat
    total = f"Fat is {_share(fat.total_percent, setting)}"
    hard, refuse = table["fat_hard"].value, table["fat_refuse"].value
    words = {
        Verdict.STOP: f"{total}: under {refuse:g} % it does not run into a mould.",
        Verdict.WATCH: f"{total}: under {hard:g} % it is hard to mould.",
        Verdict.GOOD: f"{total}: enough to run into a mould.",
    }
    depends = f"{total}: whether it moulds depends on the lot; {hard:g} % is wanted."
    yield _by_range(fat.total_percent, setting, _fat_verdict, (words, depends))
    least = table[cocoa_butter_key(setting.chocolate)].value
    butter = f"Cocoa butter is {_share(fat.cocoa_butter_percent, setting)}"
    kind = setting.chocolate.value
    words = {
        Verdict.WATCH: f"{butter}: a {kind} chocolate snaps from {least:g} % on, by common practice.",
        Verdict.GOOD: f"{butter}: enough for a {kind} chocolate to snap.",
    }
    depends = f"{butter}: whether it snaps depends on the lot; {least:g} % is wanted."

    def verdict(percent: float) -> Verdict:
        return Verdict.WATCH if percent < least else Verdict.GOOD

    yield _by_range(fat.cocoa_butter_percent, setting, verdict, (words, depends))


def _fat_verdict(percent: float) -> Verdict:
    table = load("temper")
    if percent < table["fat_refuse"].value:
        return Verdict.STOP
    return Verdict.WATCH if percent < table["fat_hard"].value else Verdict.GOOD


def _by_range(
    span: Span,
    setting: Setting,
    verdict: Callable[[float], Verdict],
    words: tuple[dict[Verdict, str], str],
) -> _Finding:
    """Ask at both ends: a lot that makes it good or not is a watch, a sheet that decides is unknown."""
    doubt = setting.fat.unknown_percent
    lots = {verdict(span.low), verdict(span.value), verdict(span.high - doubt)}
    sheets = {verdict(span.value + doubt), verdict(span.high)}
    if len(lots) > 1 and Verdict.GOOD in lots:
        return _Finding(Verdict.WATCH, words[1])
    if len(lots) == 1 and lots != lots | sheets:
        return _Finding(Verdict.UNKNOWN, _not_given(setting))
    usual = verdict(span.value)
    return _Finding(usual, words[0][usual])


def _not_given(setting: Setting) -> str:
    return f"The fat of {joined(setting.fat.unknown)} is not given."


def _of_softness(recipe: Recipe, setting: Setting) -> Iterator[_Finding]:
    if setting.lowering_k is None and setting.hidden:
        yield _Finding(Verdict.UNKNOWN, _not_given(setting))
    elif setting.lowering_k is None:
        words = "Too little of the fat is cocoa butter: how it sets cannot be told."
        yield _Finding(Verdict.UNKNOWN, words)
    elif setting.lowering_k > softest_published():
        words = (
            f"Other fats lower its melting point by {setting.lowering_k:.1f} K, more than in white "
            "chocolate: it stays soft, as gianduja does."
        )
        yield _Finding(Verdict.WATCH, words)
    yield from (_Finding(Verdict.WATCH, note.sentence) for note in fat_notes(recipe))


def _for_form(form: Form, findings: list[_Finding]) -> list[_Finding]:
    """A drinking tablet need not snap, and flakes are not moulded."""
    if form is Form.DRINKING:
        stopped = [one for one in findings if one.verdict is Verdict.STOP]
        pressed = [replace(one, verdict=Verdict.WATCH, words=f"{one.words} Press it.") for one in stopped]
        return pressed or [_Finding(Verdict.GOOD, ON_PURPOSE)]
    if form is Form.FLAKES and any(one.verdict is not Verdict.GOOD for one in findings):
        return [_Finding(Verdict.UNKNOWN, _NOT_MOULDED)]
    return findings


def _sentences(form: Form, verdict: Verdict, findings: Iterable[_Finding], setting: Setting) -> Iterator[str]:
    if verdict is Verdict.GOOD and form is not Form.DRINKING:
        yield _enough(setting)
    else:
        yield from dict.fromkeys(finding.words for finding in findings if finding.verdict is verdict)
    if form is not Form.DRINKING and verdict is not Verdict.STOP:
        yield from work_words(setting.program)


def _enough(setting: Setting) -> str:
    total, butter = (
        _percent(span, setting) for span in (setting.fat.total_percent, setting.fat.cocoa_butter_percent)
    )
    also = "" if butter == total else f", cocoa butter {butter}"
    return f"Fat is {total} of the mass as charged{also}{_why_open(setting)}: enough to mould and to snap."


def _reasons(recipe: Recipe, findings: Iterable[_Finding], setting: Setting) -> Iterator[str]:
    yield from dict.fromkeys(finding.words for finding in findings)
    if setting.program is not None and shift_words(setting.program):
        yield (
            f"Other fats in the mass lower the dark program by {shift_words(setting.program)}, an estimate: "
            f"cocoa butter is {100 * setting.fat.cocoa_butter_share:.0f} % of the fat."
        )
    if setting.chocolate is not Chocolate.DARK and setting.program is not None:
        yield f"The {setting.chocolate.value} program holds the shift of its milk fat already."
    if any(not part.in_machine for part in recipe.parts):
        yield "What is folded in changes no temperature on the day; oil of nuts softens the bar later."
    if setting.fat.unknown:
        yield f"The fat of {joined(setting.fat.unknown)} is not given: from none to its whole weight."


def _sources(setting: Setting) -> Iterator[Citation]:
    table, softened = load("temper"), bool(setting.lowering_k and setting.lowering_k > 0)
    for key in (
        "fat_hard",
        "fat_refuse",
        cocoa_butter_key(setting.chocolate),
        *(("form_v_heat",) if softened else ()),
    ):
        yield Citation(table[key].source, table[key].place, table[key].status)
    if setting.program is not None:
        yield Citation(setting.program.source, setting.program.place, setting.program.status)


def _is_open(setting: Setting) -> bool:
    """Whether what is not given shows in the figure: then the ends are known, and nothing between them."""
    span = setting.fat.total_percent
    return f"{span.value:.1f}" != f"{span.value + setting.fat.unknown_percent:.1f}"


def _why_open(setting: Setting) -> str:
    return f", for the fat of {joined(setting.fat.unknown)} is not given" if _is_open(setting) else ""


def _share(span: Span, setting: Setting) -> str:
    return f"{_percent(span, setting)} of the mass as charged{_why_open(setting)}"


def _percent(span: Span, setting: Setting) -> str:
    if f"{span.low:.1f}" == f"{span.high:.1f}":
        return f"{span.value:.1f} %"
    if _is_open(setting):
        return f"between {span.low:.1f} and {span.high:.1f} %"
    return f"{span.value:.1f} % ({span.low:.1f} to {span.high:.1f})"
