"""Starting the program stays quick: what is slow to import is not imported on the way.

Watched in a process of its own, since this one has everything imported already.
"""

import subprocess
import sys


def modules_after(statement: str) -> set[str]:
    program = f"import sys\n{statement}\nprint('\\n'.join(sys.modules))"
    command = [sys.executable, "-c", program]
    answer = subprocess.run(command, capture_output=True, text=True, check=True)
    return set(answer.stdout.split())


def test_the_package_alone_imports_nothing_heavy() -> None:
    loaded = modules_after("import oilwedge")
    assert not loaded & {"numpy", "scipy", "pydantic", "typer", "rich"}


def test_the_command_line_stays_off_slow_libraries() -> None:
    loaded = modules_after("import oilwedge.cli.main")
    assert not loaded & {"scipy.stats", "scipy.optimize", "typst", "openpyxl", "python_calamine"}


def test_the_commands_that_calculate_stay_off_the_bench() -> None:
    loaded = modules_after("import oilwedge.cli.main as m; m.app_for([])")
    assert not {name.partition(".")[0] for name in loaded} & {"django", "cheroot", "cryptography"}
    assert not {name for name in loaded if name.startswith("oilwedge.web")}


def test_the_bench_is_not_loaded_to_learn_what_the_command_takes() -> None:
    loaded = modules_after("import oilwedge.cli.serve")
    assert not {name for name in loaded if name.startswith(("django", "oilwedge.web"))}
