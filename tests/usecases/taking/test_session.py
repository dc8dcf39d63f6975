import datetime
from dataclasses import dataclass, field, replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from oilwedge.engine.model import Engine
from oilwedge.job.entry import Entry, Event, EventKind, WorkKind
from oilwedge.job.record import current_readings
from oilwedge.metrology.reading import Bound, Reading, ReadingForm
from oilwedge.shop.model import Shop
from oilwedge.usecases.planning.plan import Depth
from oilwedge.usecases.taking.asking import prompt
from oilwedge.usecases.taking.bench import Bench, make_bench
from oilwedge.usecases.taking.session import advance, start
from oilwedge.usecases.taking.state import State, Step, Tick

TWELVE = datetime.datetime(2026, 3, 1, 12, tzinfo=datetime.UTC)


@dataclass
class Hand:
    """Types lines, and keeps what was said and stored."""

    bench: Bench
    state: State
    said: list[str] = field(default_factory=list)
    stored: list[Entry] = field(default_factory=list)
    lines: int = 0

    def type(self, *lines: str) -> str:
        """What is said to the last line."""
        said: list[str] = []
        for line in lines:
            self.lines += 1
            tick = Tick(
                now=TWELVE + datetime.timedelta(minutes=self.lines),
                ids=(f"t{self.lines}a", f"t{self.lines}b"),
            )
            step: Step = advance(self.bench, self.state, line, tick)
            assert step.state.entries == (*self.state.entries, *step.entries)
            self.state = step.state
            self.stored += step.entries
            said = list(step.messages)
            self.said += said
        return "\n".join(said)

    @property
    def prompt(self) -> str:
        return prompt(self.bench, self.state)

    @property
    def readings(self) -> list[Reading]:
        return [entry for entry in self.stored if isinstance(entry, Reading)]

    @property
    def events(self) -> list[Event]:
        return [entry for entry in self.stored if isinstance(entry, Event)]


def hand(bench: Bench, *, entries: tuple[Entry, ...] = (), unit: str = "mm") -> Hand:
    step = start(bench, entries=entries, unit=unit, person="Ada")
    return Hand(bench=bench, state=step.state, said=list(step.messages))


def journals(engine: Engine, shop: Shop, *, number: int | None = 1, repeats: int = 1) -> Bench:
    return make_bench(
        engine=engine,
        shop=shop,
        features=["rod_journal"],
        number=number,
        depth=Depth.QUICK,
        repeats=repeats,
    )


@pytest.fixture
def ready(engine: Engine, shop: Shop) -> Hand:
    """At the first place of rod journal 1: size and condition were answered."""
    one = hand(journals(engine, shop))
    one.type("standard", "re-used")
    return one


def test_size_and_condition_are_asked_once_and_first(engine: Engine, shop: Shop) -> None:
    one = hand(journals(engine, shop, number=None))
    assert one.prompt.startswith("rod journal: which size is it at now?")
    one.type("0.25 mm under")
    assert one.prompt == "rod journals: new, machined or re-used? (n, m, r) > "
    one.type("m")
    assert one.prompt == "rod journal 1, front, along mm > "
    assert [(e.kind, e.subject, e.number, e.value, e.step_m) for e in one.events] == [
        (EventKind.SIZE, "rod_journal", None, "0.25 mm under", 0.00025),
        (EventKind.CONDITION, "rod_journals", None, "machined", None),
    ]
    one.type(*["47.725"] * 16)
    assert len(one.readings) == 16
    assert len(one.events) == 2


def test_place_by_place_with_enter_only(ready: Hand) -> None:
    prompts = []
    for value in ("47.972", "47,971", "４７．９７０", "+47.969\r"):
        prompts.append(ready.prompt)
        ready.type(value)
    assert prompts == [
        "rod journal 1, front, along mm > ",
        "rod journal 1, front, across mm > ",
        "rod journal 1, rear, along mm > ",
        "rod journal 1, rear, across mm > ",
    ]
    assert [r.value_m for r in ready.readings] == [0.047972, 0.047971, 0.04797, 0.047969]
    assert [r.text for r in ready.readings] == ["47.972", "47,971", "４７．９７０", "+47.969"]
    first = ready.readings[0]
    assert (first.instrument, first.person, first.unit) == ("mic2", "Ada", "mm")
    assert first.time == TWELVE + datetime.timedelta(minutes=3)


@pytest.mark.parametrize(
    ("typed", "mean", "place"),
    [
        (("47.97", "47.97", "47.97", "47.97"), "mean 47.97 mm", "47.97 mm"),
        (("47.970", "47.97", "47.97", "47.97"), "mean 47.970 mm", "47.970 mm"),
        (("47.97", "47.98", "47.98", "47.98"), "mean 47.978 mm", "47.97 mm"),
        (("47,97", "47.98", "47.97", "47.98"), "mean 47.975 mm", "47.97 mm"),
        (("47.9725",) * 4, "mean 47.9725 mm", "47.9725 mm"),
        (("1.8886 in",) * 4, "mean 1.8886 in", "1.8886 in"),
    ],
)
def test_the_result_shows_the_decimals_that_were_typed_and_a_mean_one_more_at_most(
    ready: Hand, typed: tuple[str, ...], mean: str, place: str
) -> None:
    ready.type(*typed)
    lines = "\n".join(ready.said).split("\n")
    (complete,) = [line for line in lines if "complete" in line]
    assert complete.endswith(mean)
    (front,) = [line for line in lines if line.strip().startswith("front, along")]
    assert front.endswith(f" {place}")


def test_a_place_shown_in_another_unit_than_it_was_typed_in_loses_nothing(ready: Hand) -> None:
    ready.type("47.97", "1.8886 in", "47.97", "47.97")
    assert "47.9704 mm" in "\n".join(ready.said)  # 1.8886 x 25.4 = 47.97044


def test_the_result_comes_when_the_set_is_complete_and_not_before(ready: Hand) -> None:
    for value in ("47.972", "47.971", "47.970"):
        assert ready.type(value) == ""
    said = ready.type("47.969")
    assert "rod journal 1: complete; mean 47.9705 mm" in said
    assert "rear, across       47.969 mm" in said
    everything = "\n".join(ready.said)
    assert not any(limit in everything for limit in ("0.021", "0.049", "0.060", "47.965"))


def test_a_single_letter_is_an_answer_where_a_question_is_open(engine: Engine, shop: Shop) -> None:
    one = hand(journals(engine, shop))
    one.type("standard", "n")
    assert one.events[1].value == "new"


def test_empty_enter_asks_again(ready: Hand) -> None:
    before = ready.state
    assert "Nothing was typed" in ready.type("")
    assert ready.state == before


def test_an_impossible_value_asks_back_with_the_slip(ready: Hand) -> None:
    said = ready.type("1.889")
    assert "Rod journal 1, front, along: 1.889 mm cannot be" in said
    assert "did you mean inches (47.98 mm)?" in said
    assert not ready.readings
    ready.type("1.889 in")
    assert (ready.readings[0].text, ready.readings[0].unit) == ("1.889 in", "in")
    assert ready.readings[0].value_m == pytest.approx(0.0479806, abs=1e-9)
    ready.type("47.97")
    assert ready.readings[1].unit == "mm"


def test_an_impossible_value_is_kept_when_it_is_confirmed(ready: Hand) -> None:
    ready.type("44.1", "yes")
    (reading,) = ready.readings
    event = ready.events[-1]
    assert reading.value_m == 0.0441
    assert (event.kind, event.value, event.subject) == (
        EventKind.CONFIRMED,
        reading.id,
        "rod_journal",
    )
    assert event.note.endswith("answered: yes")
    assert ready.prompt.startswith("rod journal 1, front, across")


def test_a_doubtful_value_is_dropped_by_enter(ready: Hand) -> None:
    ready.type("44.1", "")
    assert not ready.readings
    assert ready.prompt == "rod journal 1, front, along mm > "


@pytest.mark.parametrize(
    "line", ["abc", "47.97 volts", "47.97.1", "unit furlong", "instrument mick"]
)
def test_bad_input_gets_one_sentence_and_changes_nothing(ready: Hand, line: str) -> None:
    before = ready.state
    said = ready.type(line)
    assert said
    assert "\n" not in said
    assert ready.state == before


def test_going_back_replaces_a_reading(ready: Hand) -> None:
    ready.type("47.92", "back")
    assert "it was 47.92" in ready.said[-1]
    ready.type("47.972")
    first, second = ready.readings
    assert second.replaces == first.id
    assert current_readings(ready.state.entries) == (second,)
    assert ready.prompt.startswith("rod journal 1, front, across")


def test_going_back_and_enter_changes_nothing(ready: Hand) -> None:
    ready.type("47.972", "47.971", "b", "b", "")
    assert len(ready.readings) == 2
    assert ready.prompt.startswith("rod journal 1, rear, along")
    ready.type("back", "back", "back")
    assert "This is the first place." in ready.said[-1]


@pytest.mark.parametrize("line", ["correct 47.972", "c 47.972", "correct last 47.972"])
def test_the_last_reading_is_corrected(ready: Hand, line: str) -> None:
    ready.type("47.92", line)
    assert ready.readings[1].replaces == ready.readings[0].id
    assert ready.prompt.startswith("rod journal 1, front, across")


@pytest.mark.parametrize("name", ["front along", "1 front, along", "t3a"])
def test_a_named_reading_is_corrected(ready: Hand, name: str) -> None:
    ready.type("47.92", "47.971", "47.970", f"correct {name}")
    assert ready.prompt == "rod journal 1, front, along (anew) mm > "
    ready.type("47.972")
    assert ready.readings[3].replaces == ready.readings[0].id == "t3a"
    assert ready.readings[3].place == "front"
    assert ready.prompt.startswith("rod journal 1, rear, across")


def test_a_correction_of_nothing_is_refused(ready: Hand) -> None:
    assert "nothing was read yet" in ready.type("correct").lower()
    ready.type("47.97")
    assert "no reading of this feature has this name" in ready.type("correct sideways")


def test_a_place_is_left_out_with_its_reason(ready: Hand) -> None:
    ready.type("47.972", "skip oil hole in the way", "47.970", "47.969")
    event = ready.events[-1]
    assert (event.kind, event.number, event.value, event.note) == (
        EventKind.SKIPPED,
        1,
        "front, across",
        "oil hole in the way",
    )
    assert "complete" in "\n".join(ready.said)
    assert len(ready.readings) == 3


def test_repeat_reads_the_last_place_once_more(ready: Hand) -> None:
    ready.type("47.972", "repeat")
    assert ready.prompt == "rod journal 1, front, along (once more) mm > "
    ready.type("47.973")
    assert [(r.place, r.direction, r.replaces) for r in ready.readings] == [
        ("front", "along", ""),
        ("front", "along", ""),
    ]
    assert ready.prompt.startswith("rod journal 1, front, across")


def test_planned_repeats_go_round_and_a_refit_is_counted(engine: Engine, shop: Shop) -> None:
    one = hand(journals(engine, shop, repeats=2))
    one.type("standard", "n", "47.972", "47.971", "47.970")
    said = one.type("47.969")
    assert "Series 2 of 2" in said
    assert "mean" not in said
    one.type("refit", "47.972", "47.971", "47.970", "47.969")
    assert [r.fitting for r in one.readings] == [1] * 4 + [2] * 4
    assert "mean 47.9705 mm" in "\n".join(one.said)
    assert "(mean of 2)" in "\n".join(one.said)


def test_what_is_remembered_holds_from_then_on(ready: Hand) -> None:
    ready.type("temperature 21.5", "person Ben", "instrument caliper", "unit in", "zero", "1.8886")
    ready.type("temperature part 70 F", "1.8886")
    first, second = ready.readings
    assert (first.part_temperature_c, first.instrument_temperature_c) == (21.5, 21.5)
    assert (first.person, first.instrument, first.unit, first.setting) == (
        "Ben",
        "caliper",
        "in",
        "2",
    )
    assert second.part_temperature_c == pytest.approx(21.111, abs=1e-3)
    assert second.instrument_temperature_c == 21.5


@pytest.mark.parametrize(
    ("line", "now"),
    [("unit", "mm"), ("i", "mic2"), ("person", "Ada"), ("temperature", "not named")],
)
def test_a_setting_without_its_word_says_what_holds_and_changes_nothing(
    ready: Hand, line: str, now: str
) -> None:
    before = ready.state
    said = ready.type(line)
    assert now in said
    assert "To change it" in said
    assert ready.state == before


def test_an_instrument_can_be_taken_back(ready: Hand) -> None:
    ready.type("instrument none", "temperature 25", "temperature none", "47.972")
    assert ready.readings[0].instrument == ""
    assert ready.readings[0].part_temperature_c is None


def test_a_check_of_the_zero_is_kept_and_names_the_instrument(ready: Hand) -> None:
    assert "in doubt: set it and check it again" in ready.type("47.972", "zero failed")
    event = ready.events[-1]
    assert (event.kind, event.instrument, event.value) == (EventKind.ZERO_CHECK, "mic2", "failed")
    assert ready.state.setting == 1
    assert "passed" in ready.type("zero perhaps")
    assert ready.events[-1] is event


def test_a_correction_says_what_it_replaced(ready: Hand) -> None:
    assert "47.972 in the place of 47.92" in ready.type("47.92", "correct 47.972")


def test_a_deviation_and_a_finer_unit(ready: Hand) -> None:
    ready.type("-12 um", "-0.012")
    assert [(r.form, r.unit) for r in ready.readings] == [
        (ReadingForm.DEVIATION, "µm"),
        (ReadingForm.DEVIATION, "mm"),
    ]
    assert ready.readings[0].value_m == pytest.approx(-12e-6, rel=1e-12)


def test_without_a_unit_it_is_asked_for_and_enter_takes_the_engine_files(engine: Engine) -> None:
    bench = make_bench(engine=engine, shop=Shop(), features=["rod_journal"], number=1)
    one = hand(bench, unit="")
    one.type("standard", "re-used", "")
    assert one.prompt == "unit? (mm, in, thou, um; Enter: mm) > "
    assert "Unit: mm." in one.type("")
    one.type("47.97")
    assert [(r.text, r.unit) for r in one.readings] == [("47.97", "mm")]


def test_without_a_unit_the_first_value_must_bring_one(engine: Engine, shop: Shop) -> None:
    bench = make_bench(engine=engine, shop=Shop(), features=["rod_journal"], number=1)
    one = hand(bench, unit="")
    one.type("standard", "n", "")
    assert "unit is missing" in one.type("47.97")
    one.type("47.97 mm", "47.971")
    assert [r.value_m for r in one.readings] == [0.04797, 0.047971]


def test_the_first_reading_says_the_size_when_nobody_knows_it(engine: Engine, shop: Shop) -> None:
    one = hand(journals(engine, shop))
    one.type("reading", "re-used")
    said = one.type("47.479")
    assert "under nominal" in said
    assert "A turn of the thimble (0.50 mm) looks the same" in said
    assert one.prompt == "rod journal: is it 0.50 mm under? (yes, or the size) > "
    one.type("yes")
    assert (one.events[-1].kind, one.events[-1].step_m) == (EventKind.SIZE, 0.0005)
    assert one.prompt.startswith("rod journal 1, front, across")


def test_no_to_the_size_asks_for_it(engine: Engine, shop: Shop) -> None:
    one = hand(journals(engine, shop))
    one.type("reading", "r", "47.972", "no")
    assert "which size is it at now" in one.prompt
    one.type("standard")
    assert one.prompt.startswith("rod journal 1, front, across")


def gauge(engine: Engine, shop: Shop, feature: str = "rod_gauge") -> Hand:
    bench = make_bench(engine=engine, shop=shop, features=[feature], number=2)
    one = hand(bench)
    while "new, machined" in one.prompt:
        one.type("n")
    return one


def test_a_zeroed_gauge_asks_for_the_side(engine: Engine, shop: Shop) -> None:
    one = gauge(engine, shop)
    one.type("")  # a bore gauge that is not named
    one.type("0.038")
    assert one.prompt.startswith("larger or smaller than zero?")
    one.type("perhaps", "l")
    assert one.readings[0].value_m == pytest.approx(38e-6, rel=1e-12)
    assert one.readings[0].text == "0.038 larger"
    one.type("-0.01")
    assert one.readings[1].value_m == pytest.approx(-10e-6, rel=1e-12)
    assert "complete" in "\n".join(one.said)


def test_whole_turns_of_the_pointer_are_added(engine: Engine, shop: Shop) -> None:
    one = gauge(engine, shop)
    one.type("", "0.038", "s 1")
    assert one.prompt.startswith("how much is one turn")
    one.type("0.1 mm")
    assert one.readings[0].value_m == pytest.approx(-138e-6, rel=1e-12)
    assert one.readings[0].text == "0.038 smaller, 1 turn"
    one.type("0.038", "s 1")
    assert one.readings[1].value_m == pytest.approx(-138e-6, rel=1e-12)


def test_a_strip_asks_for_its_preconditions(engine: Engine, shop: Shop) -> None:
    one = gauge(engine, shop, "rod_strip")
    assert "rod bearing by strip: measured with fine." in one.said
    said = "\n".join(one.said)
    assert "running faces wiped dry" in said
    assert "threads and bolt heads oiled as for final assembly" in said
    assert "nothing is turned" in said
    assert "See to it first" in one.type("hm")
    one.type("yes", "width 1.45", "wider than the widest bar")
    assert one.events[-1].kind is EventKind.NOTE
    width, bound = one.readings
    assert (width.form, width.value_m) == (ReadingForm.WIDTH, 0.00145)
    assert (bound.bound, bound.value_m) == (Bound.AT_MOST, 0.000025)


def test_a_strip_is_read_by_a_strip_and_a_journal_is_not(engine: Engine, shop: Shop) -> None:
    one = hand(
        make_bench(
            engine=engine,
            shop=shop,
            features=["rod_strip"],
            number=1,
            depth=Depth.QUICK,
            repeats=1,
        )
    )
    one.type("r", "yes")
    assert "strip of the shop" in one.type("instrument mic2")
    two = hand(journals(engine, shop))
    two.type("standard", "r")
    assert "is a strip" in two.type("instrument fine")


def test_an_instrument_named_at_the_start_is_taken_where_it_suits(
    engine: Engine, shop: Shop
) -> None:
    features = ["rod_journal", "rod_shell_bore", "rod_strip"]
    bench = make_bench(
        engine=engine, shop=shop, features=features, number=1, depth=Depth.QUICK, repeats=1
    )
    state = start(bench, entries=(), instrument="mic2").state
    assert state.instruments == {"rod_journal": "mic2"}


def test_leaving_and_coming_back_goes_on_where_it_stopped(ready: Hand) -> None:
    ready.type("47.972", "refit", "47.971", "stop")
    assert ready.state.ended
    again = hand(ready.bench, entries=ready.state.entries, unit="")
    assert again.prompt == "rod journal 1, rear, along mm > "
    assert "2 of 4 readings taken, 2 to go" in again.said[0]
    again.type("47.970")
    assert (again.readings[0].fitting, again.readings[0].instrument) == (2, "mic2")


def test_after_a_grind_everything_is_read_again(ready: Hand) -> None:
    ready.type("47.972", "skip", "47.970", "47.969")
    assert ready.state.position == -1
    ground = Event(
        id="g",
        kind=EventKind.WORK,
        subject="rod_journals",
        value="ground to 0.25 mm under",
        step_m=0.00025,
        work=WorkKind.GROUND,
        time=TWELVE + datetime.timedelta(days=1),
    )
    again = hand(ready.bench, entries=(*ready.state.entries, ground))
    assert "0 of 4 readings taken, 4 to go" in again.said[0]
    assert again.prompt == "rod journal 1, front, along mm > "


def test_where_and_list_tell_without_judging(ready: Hand) -> None:
    ready.type("47.972")
    assert "1 of 4 readings taken, 3 to go" in ready.type("where")
    assert "front, along       47.972 mm" in ready.type("list")
    assert "How: micrometer over the journal" in ready.type("?")


LINES = st.lists(
    st.sampled_from(
        ["47.97", "1.889", "yes", "no", "", "b", "back", "skip", "c 47.9", "correct", "r", "refit",
         "repeat", "standard", "reading", "n", "u in", "1.888", "list", "-5 um", "<47", "x"]
    )
    | st.text(max_size=8),
    max_size=25,
)  # fmt: skip


@given(lines=LINES)
def test_no_line_crashes_and_coming_back_finds_the_same_record(
    engine: Engine, shop: Shop, lines: list[str]
) -> None:
    bench = make_bench(
        engine=engine, shop=shop, features=["rod_journal", "crank_end_gap"], number=1
    )
    one = hand(bench)
    one.type(*lines)
    ids = [entry.id for entry in one.stored]
    assert len(ids) == len(set(ids))
    replaced = [r.replaces for r in one.readings if r.replaces]
    assert set(replaced) <= set(ids)
    assert len(replaced) == len(set(replaced))
    again = hand(bench, entries=one.state.entries)
    assert again.state.entries == one.state.entries
    assert replace(again.state, entries=()).held is None
