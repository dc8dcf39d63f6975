import re
from pathlib import Path

import pytest

from oilwedge.engine.model import Engine
from oilwedge.errors import UnknownNameError
from oilwedge.report.form_drawings import FormWord, form_svg
from oilwedge.report.html import checked_svg
from oilwedge.usecases.learning import Term, explain_term, feature_lesson, fit_lesson

PAGE = (Path(__file__).parents[2] / "docs" / "nomenclature.md").read_text(encoding="utf-8")


def terms(found: object) -> set[Term]:
    return {one.term for one in found.terms}  # type: ignore[attr-defined]


@pytest.mark.parametrize("term", Term)
def test_every_word_is_explained_in_two_sentences(term: Term) -> None:
    found = explain_term(term)
    assert found.title == term.value
    assert len(re.findall(r"[.](?=\s|$)", found.sentences)) == 2, found.sentences
    assert "!" not in found.sentences


@pytest.mark.parametrize("term", Term)
def test_every_word_stands_on_the_nomenclature_page(term: Term) -> None:
    assert re.search(rf"\b{re.escape(term.value)}\b", PAGE), term.value


@pytest.mark.parametrize("term", Term)
def test_a_drawing_can_stand_on_a_page(term: Term) -> None:
    drawing = explain_term(term).drawing_svg
    assert drawing == "" or checked_svg(drawing) == drawing


def test_words_of_form_and_of_verdicts_are_drawn() -> None:
    assert explain_term(Term.TAPER).drawing_svg == form_svg(FormWord.TAPER)
    for term in (Term.UNCERTAINTY, Term.SAFETY_MARGIN, Term.CHANCE, Term.CANNOT_TELL):
        assert "<svg" in explain_term(term).drawing_svg


def test_a_bearing_is_explained_with_its_words(bench_engine: Engine) -> None:
    found = fit_lesson(bench_engine, "rod_bearing")
    assert found.title == "rod bearing"
    assert found.sentences == bench_engine.fits["rod_bearing"].explain
    assert found.drawing_words == "square to the split"
    assert terms(found) >= {
        Term.UNCERTAINTY,
        Term.CHANCE,
        Term.CRUSH,
        Term.STRIP,
        Term.SERVICE_LIMIT,
        Term.HOURGLASS,
    }


def test_a_form_fit_is_drawn_as_its_form(bench_engine: Engine) -> None:
    found = fit_lesson(bench_engine, "rod_journal_taper")
    assert found.drawing_svg == form_svg(FormWord.TAPER)
    assert Term.TAPER in terms(found)
    assert Term.CRUSH not in terms(found)


def test_end_float_and_run_out_have_their_own_words(bench_engine: Engine) -> None:
    assert Term.END_FLOAT in terms(fit_lesson(bench_engine, "crank_end_float"))
    assert Term.RUN_OUT in terms(fit_lesson(bench_engine, "crank_runout"))


def test_a_feature_says_how_it_is_measured(bench_engine: Engine) -> None:
    found = feature_lesson(bench_engine, "rod_journal")
    assert found.how == bench_engine.features["rod_journal"].how
    assert terms(found) >= {Term.DEVIATION, Term.UNDERSIZE, Term.TURN, Term.TAPER}
    bore = feature_lesson(bench_engine, "rod_shell_bore")
    assert terms(bore) >= {Term.CRUSH, Term.SET_IN, Term.SQUARE_TO_SPLIT}


def test_every_fit_and_feature_of_an_engine_has_a_lesson(bench_engine: Engine) -> None:
    for key in bench_engine.fits:
        assert fit_lesson(bench_engine, key).sentences
    for key in bench_engine.features:
        assert feature_lesson(bench_engine, key).sentences


def test_what_the_engine_does_not_have_is_refused(bench_engine: Engine) -> None:
    with pytest.raises(UnknownNameError, match="did you mean 'rod_bearing'"):
        fit_lesson(bench_engine, "rod_baring")
    with pytest.raises(UnknownNameError, match="no feature"):
        feature_lesson(bench_engine, "wheel")
