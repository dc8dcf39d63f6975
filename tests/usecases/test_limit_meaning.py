"""The words behind a limit whose meaning differs between manuals."""

from __future__ import annotations

from oilwedge.engine.file import read_engine
from oilwedge.usecases.limit_meaning import limit_meaning
from oilwedge.usecases.planning.words import limits_text

ENGINE = read_engine(
    """
format = 1
[engine]
name = "Bench single (invented)"
[layout]
kind = "in-line"
cylinders = 1
firing_order = [1]
throw_angles = ["0 deg"]
main_bearings = 2
[features.rod_journal]
nominal = "40 mm"
length = "20 mm"
[features.main_journal]
nominal = "1.5 in"
length = "1 in"
[fits.rod_journal_taper]
build = "0.005 mm"
meaning = "per length"
length = "10 mm"
[fits.main_journal_taper]
build = "0.0002 in"
meaning = "per length"
length = "1 in"
[fits.rod_journal_out_of_round]
build = "0.005 mm"
[fits.crank_runout]
build = "0.015 mm"
meaning = "bend"
""",
    file="engine.toml",
)


def test_a_taper_limit_names_its_length_in_its_own_unit() -> None:
    assert limit_meaning(ENGINE.fits["rod_journal_taper"]) == "per 10 mm"
    assert limit_meaning(ENGINE.fits["main_journal_taper"]) == "per 1 in"


def test_a_bend_is_told_from_the_total_reading() -> None:
    assert limit_meaning(ENGINE.fits["crank_runout"]).startswith("as bend")
    assert limits_text(ENGINE.fits["crank_runout"], "mm").endswith("half of the total reading")


def test_other_limits_need_no_words() -> None:
    assert limit_meaning(ENGINE.fits["rod_journal_out_of_round"]) == ""
