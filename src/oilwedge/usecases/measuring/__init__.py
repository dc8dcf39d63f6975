"""Readings taken on pages: the set to measure, what was typed, what a phone sent."""

from oilwedge.usecases.measuring.resolving import (
    AskBack,
    How,
    Resolved,
    SignNeeded,
    resolve,
)
from oilwedge.usecases.measuring.sent import entries_from
from oilwedge.usecases.measuring.sent_document import SentEntry, sent_from
from oilwedge.usecases.measuring.sets import (
    Depth,
    MeasureSet,
    PartToAsk,
    SetProgress,
    SlotState,
    SlotView,
    StripChoice,
    SuitedInstrument,
    measure_set,
    next_set,
    sets,
)
from oilwedge.usecases.measuring.situation import Situation, situation_json, situation_of

__all__ = [
    "AskBack",
    "Depth",
    "How",
    "MeasureSet",
    "PartToAsk",
    "Resolved",
    "SentEntry",
    "SetProgress",
    "SignNeeded",
    "Situation",
    "SlotState",
    "SlotView",
    "StripChoice",
    "SuitedInstrument",
    "entries_from",
    "measure_set",
    "next_set",
    "resolve",
    "sent_from",
    "sets",
    "situation_json",
    "situation_of",
]
