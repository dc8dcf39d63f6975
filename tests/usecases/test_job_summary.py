import json
from typing import Any

from oilwedge.engine.model import Engine
from oilwedge.job.entry import EventKind, WorkKind
from oilwedge.report.state_sign import StateSign
from oilwedge.usecases.job_summary import (
    BearingLink,
    NextStep,
    bearing_links,
    crank_from,
    job_crank,
    next_step,
    summary,
    window_from,
)
from oilwedge.usecases.length_face import LengthFace
from oilwedge.usecases.measuring import SetProgress, sets
from oilwedge.usecases.signs import shown_value, window_sign

Bench = Any
MM = LengthFace(unit="mm")


def planned(bench: Bench) -> tuple[SetProgress, ...]:
    return sets(engine=bench.engine, shop=bench.shop, entries=bench.entries)


def step(bench: Bench, *, plan: tuple[SetProgress, ...] = ()) -> NextStep:
    return next_step(bench.judge(), planned=plan)


def right_bearing(bench: Bench, number: int = 1) -> None:
    bench.size("rod_journal", 0.0)
    bench.size("rod_shell_bore", 0.0)
    bench.is_now("rod_journals", "re-used")
    bench.journal(number, 47.972)
    bench.bore(number, 48.007)


def test_a_summary_is_json_and_names_what_it_was_made_from(bench: Bench) -> None:
    right_bearing(bench)
    found = summary(bench.judge(), MM)
    assert json.loads(json.dumps(found)) == found
    assert found["oilwedge_summary"] == 1
    assert found["engine"]["digest"] == bench.engine.digest
    assert found["unit"] == "mm"


def test_the_counts_are_those_of_the_lines(bench: Bench) -> None:
    right_bearing(bench)
    found = summary(bench.judge(), MM)
    assert sum(found["counts"].values()) == len(found["fits"])
    assert found["counts"]["not_measured"] == sum(
        one["state"] == "not_measured" for one in found["fits"]
    )


def test_the_worst_line_comes_first_with_the_words_of_every_face(bench: Bench) -> None:
    right_bearing(bench)
    bench.journal(2, 47.995)
    bench.bore(2, 48.007)
    first = summary(bench.judge(), MM)["fits"][0]
    result = bench.result("rod_bearing", 2)
    assert (first["fit"], first["number"], first["words"]) == ("rod_bearing", 2, "too tight")
    assert first["sign"] == StateSign.TOO_TIGHT.value
    assert first["value"] == shown_value(result, face=MM)
    assert window_from(first) == window_sign(result, unit="mm", every_way=False)


def test_each_bearing_leads_to_its_fit_and_its_set(bench_engine: Engine) -> None:
    links = bearing_links(bench_engine)
    assert len(links) == 9
    assert links[0] == BearingLink(
        key="main 1", fit="main_bearing", feature="main_journal", number=1
    )
    assert BearingLink(key="rod 3", fit="rod_bearing", feature="rod_journal", number=3) in links


def test_the_crank_of_a_stored_summary_is_the_crank_of_the_job(bench: Bench) -> None:
    right_bearing(bench)
    judgement = bench.judge()
    found = summary(judgement, MM)
    signs = {one["key"]: one["sign"] for one in found["crank"]}
    assert signs["main 1"] == "not_measured"
    assert signs["rod 1"] in ("right", "right_close")
    assert crank_from(found, engine=bench.engine) == job_crank(judgement)


def test_the_readings_of_the_plan_come_before_the_signature(bench: Bench) -> None:
    right_bearing(bench)
    plan = planned(bench)
    left = sum(one.open for one in plan)
    found = step(bench, plan=plan)
    assert (found.kind, found.words) == ("measure", f"{left} readings of the plan")
    assert summary(bench.judge(), MM, planned=plan)["readings"]["open"] == left


def test_a_set_that_was_begun_is_measured_first(bench: Bench) -> None:
    bench.size("main_journal", 0.0)
    bench.read("main_journal", 4, 54.988, "front", "along", instrument="mic")
    found = step(bench, plan=planned(bench))
    assert (found.feature, found.number) == ("main_journal", 4)


def test_what_was_ground_waits_to_be_measured_again(bench: Bench) -> None:
    right_bearing(bench, 3)
    bench.work("rod_journals", WorkKind.GROUND, 3, step_mm=0.25)
    found = step(bench, plan=planned(bench))
    assert (found.kind, found.feature, found.number) == ("measure", "rod_journal", 3)
    assert found.words.startswith("rod journal 3 to be measured again")


def test_a_question_comes_before_the_plan(bench: Bench) -> None:
    bench.journal(2, 47.48)
    found = step(bench, plan=planned(bench))
    assert (found.kind, found.words) == ("answer", "a question about rod journal 2")


def test_a_failed_zero_check_is_waited_for(bench: Bench) -> None:
    right_bearing(bench)
    bench.zero("mic", "failed")
    found = step(bench)
    assert found.kind == "check zero"
    assert found.words == "the micrometer 25 to 75 to be set, checked and measured with again"


def test_what_is_wrong_waits_for_a_decision_until_one_names_it(bench: Bench) -> None:
    right_bearing(bench)
    bench.journal(2, 47.995)
    bench.bore(2, 48.007)
    found = step(bench)
    assert (found.kind, found.fit, found.number) == ("decide", "rod_bearing", 2)
    assert found.words == "a decision on rod bearing 2: too tight"
    for result in bench.judge().fits:
        bench.event(EventKind.DECISION, result.key, result.number, value="other shells")
    assert step(bench).kind == "sign"


def test_a_signed_job_is_ready_to_close_and_a_closed_one_waits_for_nothing(bench: Bench) -> None:
    right_bearing(bench)
    for result in bench.judge().fits:
        bench.event(EventKind.DECISION, result.key, result.number, value="kept")
    assert step(bench).words == "the signature"
    bench.event(EventKind.SIGNED, value="Ada")
    assert step(bench) == NextStep(kind="close", words="nothing: ready to close")
    bench.event(EventKind.CLOSED)
    assert step(bench) == NextStep(kind="none", words="nothing: it is closed")
