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
