"""What the oil films of an engine do over a cycle, with its bearings as they were measured."""

from __future__ import annotations

from oilwedge.usecases.film_cycle_answer import BearingFilm, EngineFilm, LeftOut, ReferenceFilm

__all__ = ["BearingFilm", "EngineFilm", "LeftOut", "ReferenceFilm"]
