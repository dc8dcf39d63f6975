"""Places and directions of a file take the catalogue's where they are named alike."""

from oilwedge.engine.catalogue import catalogue
from oilwedge.engine.file import read_engine
from oilwedge.engine.model import Engine, Feature

HEAD = """\
format = 1
engine = { name = "trial" }
layout = { kind = "in-line", cylinders = 1, firing_order = [1], throw_angles = ["0 deg"], \
main_bearings = 2 }
[features.rod_journal]
"""


def journal_of(addition: str) -> Feature:
    engine: Engine = read_engine(HEAD + addition, file="e.toml")
    return engine.features["rod_journal"]


def positions(feature: Feature) -> list[tuple[str, float]]:
    return [(place.name, place.position) for place in feature.places]


def test_known_places_stand_where_the_catalogue_has_them() -> None:
    feature = journal_of('places = ["rear", "front"]\n')
    known = dict(positions(catalogue().features["rod_journal"]))
    assert positions(feature) == [("rear", known["rear"]), ("front", known["front"])]
    assert known["front"] < known["rear"]
    assert feature.quick_places == feature.places


def test_new_places_are_spread_evenly_from_front_to_rear() -> None:
    feature = journal_of('places = ["a", "b", "c", "d", "e"]\n')
    assert positions(feature) == [("a", -1.0), ("b", -0.5), ("c", 0.0), ("d", 0.5), ("e", 1.0)]
    assert positions(journal_of('places = ["only"]\n')) == [("only", 0.0)]


def test_directions_are_angles_and_known_ones_keep_their_name() -> None:
    feature = journal_of('directions = ["0 deg", "60 deg", "90 deg"]\nquick_directions = [0]\n')
    assert [one.name for one in feature.directions] == ["along", "60 deg", "across"]
    assert [one.angle_deg for one in feature.directions] == [0.0, 60.0, 90.0]
    assert [one.name for one in feature.quick_directions] == ["along"]


def test_a_size_may_carry_a_length_a_material_and_a_place() -> None:
    feature = journal_of('length = "1 in"\nmaterial = "Forged-Steel"\nmeasured_at = "middle"\n')
    assert (feature.length_m, feature.material, feature.measured_at) == (
        0.0254,
        "forged steel",
        "middle",
    )


def test_a_decimal_comma_is_read() -> None:
    assert journal_of('size = ["47,965 mm", "47,98 mm"]\n').high_m == 0.04798
