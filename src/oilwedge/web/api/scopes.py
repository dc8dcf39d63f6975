"""What a token may be used for; what its account may do comes first."""

from __future__ import annotations

from enum import Enum

from oilwedge.web.people.access import Right


class Scope(Enum):
    """One thing that a token is for; the value is the word that is kept."""

    READ = "read"
    MEASURE = "measure"
    ENGINES = "engines"
    SHELF = "shelf"

    @property
    def words(self) -> str:
        """For a person who makes a token."""
        return _WORDS[self]

    @property
    def right(self) -> Right:
        """What the account behind the token needs to be allowed as well."""
        return _RIGHTS[self]


_WORDS = {
    Scope.READ: "read jobs, their entries and verdicts",
    Scope.MEASURE: "add readings and events to jobs",
    Scope.ENGINES: "read engine files and add new ones",
    Scope.SHELF: "read the shop file",
}
_RIGHTS = {
    Scope.READ: Right.SEE_JOB,
    Scope.MEASURE: Right.MEASURE,
    Scope.ENGINES: Right.ENGINE_FILES,
    Scope.SHELF: Right.SHELF_SEE,
}
