"""A firing order and the throws have to go together."""

from oilwedge.engine.file import check_engine


def test_a_two_stroke_fires_every_cylinder_in_one_turn() -> None:
    """Four throws a quarter turn apart fit one turn in one order and its reverse (arithmetic)."""
    layout = (
        'format = 1\nengine = { name = "t" }\n[layout]\nkind = "in-line"\ncylinders = 4\n'
        'throw_angles = ["0 deg", "180 deg", "90 deg", "270 deg"]\nmain_bearings = 5\n'
        "strokes = 2\nfiring_order = "
    )
    assert check_engine(layout + "[1, 4, 2, 3]\n", file="e").warnings == ()
    assert len(check_engine(layout + "[1, 2, 3, 4]\n", file="e").warnings) == 1
