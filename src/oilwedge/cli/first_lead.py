"""Ask for the account of the first lead, where a shop's network is about to be let in."""

from __future__ import annotations

import getpass
import os
import sys
from dataclasses import dataclass

from oilwedge.cli.face import ask, say, tell
from oilwedge.errors import Fault, InputError

FIRST_LEAD = "OILWEDGE_FIRST_LEAD"  # name:password, for machines that start by themselves


@dataclass(frozen=True, kw_only=True, slots=True)
class FirstLead:
    """What was typed for the first account."""

    username: str
    full_name: str
    password: str


def make_first_lead() -> None:
    """Make the account of the first lead from the environment, the keyboard or the input.

    Raises :class:`InputError` where none of them gives one, or gives one that cannot be.
    """
    from oilwedge.web.people.accounts import create_account
    from oilwedge.web.people.models import Role

    given = os.environ.pop(FIRST_LEAD, "")  # not left there for what is started from here
    typed = not given and sys.stdin is not None and sys.stdin.isatty()
    if typed:
        tell("This shop has no lead yet: whoever invites people and sees everything.")
    while True:
        lead = _typed() if typed else _given(given)
        try:
            create_account(
                username=lead.username,
                full_name=lead.full_name,
                role=Role.LEAD,
                password=lead.password,
            )
        except InputError as error:
            if not typed:
                raise
            say(str(error))
        else:
            return


def _typed() -> FirstLead:
    """From the keyboard; the password is not shown and asked for twice."""
    username = ask("Name to log in with: ")
    full_name = ask("Full name, as it stands on sheets: ")
    while True:
        password = getpass.getpass("Password, 10 letters or more: ")
        if getpass.getpass("The same once more: ") == password:
            return FirstLead(username=username, full_name=full_name, password=password)
        say("These two were not the same. Type both again.")


def _given(text: str) -> FirstLead:
    """From ``name:password``, or from two lines of the input: name, password."""
    if text:
        username, colon, password = text.partition(":")
    else:
        lines = [] if sys.stdin is None else [sys.stdin.readline() for _ in range(2)]
        username, password = (line.rstrip("\r\n") for line in lines) if lines else ("", "")
        colon = ":" if password else ""
    if not (username and colon and password):
        raise InputError(
            Fault(
                given="",
                allowed="this shop has no lead yet, and there is no terminal to ask in",
                action=f"give name:password in {FIRST_LEAD}, or both in two lines on the input",
            )
        )
    return FirstLead(username=username, full_name=username, password=password)
