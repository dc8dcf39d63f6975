"""The compiled solver behind all films: whether it can run, and the wait for it the first time."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Final

from oilwedge.errors import MissingExtraError

COMPILING: Final = (
    "Compiling the solver: this happens once after installation and takes some seconds ..."
)


@contextmanager
def numba_needed() -> Iterator[None]:
    """Turn a missing Numba, met by an import inside, into a MissingExtraError in one sentence."""
    try:
        yield
    except ModuleNotFoundError as error:
        if error.name is None or not error.name.startswith(("numba", "llvmlite")):
            raise
        raise MissingExtraError(
            "Numba is needed to calculate the oil film; install it with:"
            " pip install 'oilwedge[film]'."
        ) from error


def ready_for_paths(when_compiling: Callable[[], None]) -> None:
    """Call ``when_compiling`` if the kernels of journal paths have to be compiled first.

    MissingExtraError without numba.
    """
    with numba_needed():
        from oilwedge.film.orbit import is_compiled
    if not is_compiled():
        when_compiling()
