"""The demo: an invented workshop with three invented engines, laid out for people to play with."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from importlib import resources

from oilwedge.usecases.importing.imported import BadRows, Imported
from oilwedge.usecases.importing.read import read_table
from oilwedge.usecases.opening import SHOP_FILE, Engine, Shop


class DemoEngine(Enum):
    """The invented engines."""

    FOUR = "four"
    THREE_DIESEL = "three-diesel"
    V_TWIN = "v-twin"


@dataclass(frozen=True, kw_only=True, slots=True)
class Demonstration:
    """The names of one engine's files in the demo folder, and what is to be seen in it."""

    engine_file: str
    readings_file: str
    sheet_file: str
    rest_file: str
    what_is_in_it: str
    fit: str  # one that is worth a look at its budget

    @property
    def sources(self) -> tuple[str, ...]:
        """The files that are laid out: engine, shop, readings."""
        return self.engine_file, SHOP_FILE, self.readings_file


_FITS = {
    DemoEngine.FOUR: "rod bearing 3",
    DemoEngine.THREE_DIESEL: "rod bearing 2",
    DemoEngine.V_TWIN: "piston to bore 1",
}
_WHAT_IS_IN_IT = {
    DemoEngine.FOUR: (
        "The Heron four, petrol, in mm. In its readings: a tapered rod journal, a rod bearing past"
        " its service limit, a main bearing that is too tight, one where strip and gauges"
        " disagree, a turn of the thimble, inches typed for millimetres, a value that was misread."
    ),
    DemoEngine.THREE_DIESEL: (
        "The Plover three, diesel, in inches and thou, judged with safety margin. In its readings:"
        " main journals before and after grinding, a rod bearing too near its limit to tell, a main"
        " bearing apart from its neighbours, a micrometer that failed its zero check."
    ),
    DemoEngine.V_TWIN: (
        "The Snipe V-twin, its table with decimal commas and semicolons. In its readings: a main"
        " bearing that only a strip was in, and it shows no more than an upper bound; a cylinder"
        " honed too far; an aluminium case measured warm; a fit that no catalogue knows."
    ),
}


def demonstration(engine: DemoEngine) -> Demonstration:
    """Name the files of one engine, and say what is to be seen in it."""
    stem = engine.value.replace("-", "_")
    return Demonstration(
        engine_file=f"{stem}.toml",
        readings_file=f"{stem}.csv",
        sheet_file=f"{stem}_build_sheet.pdf",
        rest_file=f"{stem}_rows_to_mend.csv",
        what_is_in_it=_WHAT_IS_IN_IT[engine],
        fit=_FITS[engine],
    )


def demo_bytes(name: str) -> bytes:
    """The content of a file of the demo as it comes with the program."""
    return resources.files("oilwedge").joinpath("demo", name).read_bytes()


SHORT_ENGINE = "single.toml"  # few places to measure: for the first steps in the browser


@dataclass(frozen=True, kw_only=True, slots=True)
class DemoJob:
    """A job of the demo's shop: number, title, engine file, table of readings ("" for none)."""

    number: str
    title: str
    engine_file: str
    readings_file: str = ""


DEMO_JOBS = (
    DemoJob(number="demo-4", title="Heron four on stand 1", engine_file="four.toml",
            readings_file="four.csv"),
    DemoJob(number="demo-3", title="Plover three, crank back from the grinder",
            engine_file="three_diesel.toml", readings_file="three_diesel.csv"),
    DemoJob(number="demo-2", title="Snipe V-twin, bottom end", engine_file="v_twin.toml",
            readings_file="v_twin.csv"),
    DemoJob(number="demo-1", title="Dabchick single: begin here, nine readings",
            engine_file=SHORT_ENGINE),
)  # fmt: skip


def demo_entries(job: DemoJob, *, engine: Engine, shop: Shop) -> Imported:
    """The readings of a demo job, with the rows that could not be taken."""
    return read_table(
        demo_bytes(job.readings_file),
        engine=engine,
        shop=shop,
        name=job.readings_file,
        known=(),
        bad_rows=BadRows.KEEP_GOOD,
    )
