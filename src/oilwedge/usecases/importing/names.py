"""What people call things in a table, turned into the keys of engine and shop."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from enum import Enum

from oilwedge.engine.model import Engine, Feature, Shape
from oilwedge.errors import Fault, InputError, UnknownNameError, did_you_mean
from oilwedge.metrology.instrument import (
    GENERIC_INSTRUMENTS,
    Instrument,
    InstrumentKind,
    Strip,
)
from oilwedge.shop.model import Shop
from oilwedge.usecases.importing.plausible import shown_length

# Other words of the trade for the features of the catalogue (common practice, no source).
SYNONYMS: Mapping[str, tuple[str, ...]] = {
    "rod_journal": ("crankpin", "crank pin", "big end journal", "connecting rod journal"),
    "main_journal": ("main bearing journal",),
    "rod_housing_bore": ("big end bore", "big end housing bore", "rod housing", "rod bore"),
    "main_housing_bore": ("main bore", "main tunnel", "main housing bore"),
    "rod_shell_bore": ("rod shell bore", "big end shell bore"),
    "main_shell_bore": ("main shell bore",),
    "rod_strip": ("rod strip", "big end strip", "rod bearing strip"),
    "main_strip": ("main strip", "main bearing strip"),
    "rod_gauge": ("rod gauge", "rod clearance", "rod bearing clearance"),
    "main_gauge": ("main gauge", "main clearance", "main bearing clearance"),
    "crank_end_gap": ("end float", "end play", "crank end play", "crankshaft end float"),
    "crank_runout_reading": ("run-out", "crank runout", "crankshaft run-out"),
    "cylinder_bore": ("bore", "cylinder"),
    "piston_skirt": ("piston", "piston diameter"),
    "small_end_bore": ("small end", "rod pin bore"),
    "piston_deck_height": ("deck height", "piston protrusion"),
}  # fmt: skip

MOST_GUESSES = 1000
RANGE_SLACK_M = 2.5e-3  # the largest undersize of the trade, and the end of a scale


def plain(text: str) -> str:
    """One spelling for many: small letters; blanks, hyphens, underscores and dots are one.

    Two words of the trade for one thing are one as well: an insert is a shell, end play is float.
    """
    one = re.sub(r"[\s_\-.,:#]+", " ", text.casefold()).strip()
    return re.sub(r"\binsert(s?)\b", r"shell\1", one).replace("end play", "end float")


class SubjectSort(Enum):
    """What an event is more likely to speak of."""

    PART = "part"
    FEATURE = "feature"


class Names:
    """Looks up features, parts, places, directions and instruments by any of their names."""

    def __init__(self, *, engine: Engine, shop: Shop) -> None:
        self._engine = engine
        self._refusals = 0
        self._features = _feature_names(engine)
        self._parts = _unique(
            (plain(name), key)
            for key, title in engine.part_titles.items()
            for name in (key, title, key.removesuffix("s"), title.removesuffix("s"))
        )
        self._instruments = _unique(
            (plain(name), key) for key, title in _instrument_titles(shop) for name in (key, title)
        )
        self.strips: Mapping[str, Strip] = shop.strips
        self.instruments: Mapping[str, Instrument] = {**GENERIC_INSTRUMENTS, **shop.instruments}

    def feature(self, text: str) -> tuple[str, int | None]:
        """Key of a feature, and the number if one is written with it ("Rod journal 3")."""
        name, number = split_number(plain(text))
        key = self._features.get(plain(text))
        if key is not None:
            return key, None
        key = self._features.get(name)
        if key is None:
            raise self._refused(
                text, sort="feature", names=self._features, titles=self._feature_titles()
            )
        return key, number

    def subject(self, text: str, *, first: SubjectSort) -> tuple[str, int | None]:
        """Key of a part or a feature, for an event; ``first`` where both have the name."""
        name, number = split_number(plain(text))
        both = (self._parts, self._features)
        for names in both if first is SubjectSort.PART else both[::-1]:
            if (key := names.get(plain(text))) is not None:
                return key, None
            if (key := names.get(name)) is not None:
                return key, number
        names = {**self._features, **self._parts}
        titles = [*self._engine.part_titles.values(), *self._feature_titles()]
        raise self._refused(text, sort="part or feature", names=names, titles=titles)

    def instrument(self, text: str) -> str:
        """Key of an instrument or strip of the shop, or of a kind of instrument."""
        key = self._instruments.get(plain(text))
        if key is None:
            raise self._refused(
                text,
                sort="instrument of the shop",
                names=self._instruments,
                titles=list(dict.fromkeys(self._instruments.values())),
            )
        return key

    def instrument_for(self, text: str, *, feature: Feature) -> str:
        """The same, where it can read this feature.

        A strip reads strips and nothing else does; a size must lie in the instrument's range,
        give or take an undersize and a little over the end of the scale.
        """
        key = self.instrument(text)
        self._refuse_out_of_range(text, key, feature)
        is_strip = key in self.strips or key == InstrumentKind.STRIP.value
        if is_strip == (feature.shape is Shape.STRIP):
            return key
        if is_strip:
            raise InputError(
                Fault(given=text, allowed=f"this is a strip, and {feature.title} is read otherwise")
            )
        known = ", ".join(self.strips)
        raise InputError(
            Fault(
                given=text,
                allowed=f"{feature.title} is read by a strip of the shop"
                + (f": {known}" if known else ", and the shop file has none"),
                action="leave it empty where the strip is not named",
            )
        )

    def _refuse_out_of_range(self, text: str, key: str, feature: Feature) -> None:
        size_m, instrument = feature.reference_m, self.instruments.get(key)
        if size_m is None or instrument is None or not feature.positive:
            return
        if instrument.spans(size_m, slack_m=RANGE_SLACK_M):
            return
        low_m, high_m = instrument.range_low_m, instrument.range_high_m
        low = shown_length(low_m, instrument.unit) if low_m is not None else "nothing"
        high = shown_length(high_m, instrument.unit) if high_m is not None else "any size"
        raise InputError(
            Fault(
                given=text,
                allowed=f"{instrument.title} reads {low} to {high}, and {feature.title} has "
                f"{shown_length(size_m, feature.unit)}",
                action="name the instrument that was used, or mend its range in the shop file",
            )
        )

    def _refused(
        self, text: str, *, sort: str, names: Iterable[str], titles: list[str]
    ) -> UnknownNameError:
        """The refusal; after many different ones without a guess, for guessing takes time."""
        self._refusals += 1
        guesses = names if self._refusals <= MOST_GUESSES else ()
        return _unknown(text, sort=sort, names=guesses, titles=titles)

    def _feature_titles(self) -> list[str]:
        return [feature.title for feature in self._engine.features.values()]


def place_name(text: str, *, feature: Feature) -> str:
    """The place of this feature that is meant."""
    names = [place.name for place in (*feature.places, *feature.quick_places)]
    return _one_of(text, names=names, sort="place", owner=feature.title)


def direction_name(text: str, *, feature: Feature) -> str:
    """The direction of this feature that is meant."""
    directions = (*feature.directions, *feature.quick_directions)
    angles = {f"{direction.angle_deg:g}": direction.name for direction in directions}
    bare = re.sub(r"\s*(°|deg|degrees)$", "", text.strip())
    if bare in angles:
        return angles[bare]
    names = [direction.name for direction in directions]
    return _one_of(text, names=names, sort="direction", owner=feature.title)


def split_number(name: str) -> tuple[str, int | None]:
    """A plain name and the number at its end, or in front of it, if there is one."""
    if match := re.fullmatch(r"(.*\D) ?(?:no |nr |number )?0*(\d{1,3})", name):
        return re.sub(r" (no|nr|number)$", "", match[1].strip()), int(match[2])
    if match := re.fullmatch(r"0*(\d{1,3}) (\D.*)", name):
        return match[2].strip(), int(match[1])
    return name, None


def numbers_of(text: str, *, title: str, count: int) -> tuple[int, ...] | None:
    """The numbers that a cell names: "3", "1-4", "1, 3"; None for "all" or nothing.

    Raises InputError when a number is out of 1 to ``count``.
    """
    bare = plain_number(text)
    if bare in {"", "all", "each", "every"}:
        return None
    allowed = f"{title} has numbers 1 to {count}" if count > 1 else f"there is only one {title}"
    found: list[int] = []
    for piece in re.split(r"[,;+&/]| and ", bare):
        match = re.fullmatch(r"\s*(\d{1,4})(?:\.0+)?\s*(?:(?:-|–|to)\s*(\d{1,4}))?\s*", piece)
        if match is None:
            raise InputError(
                Fault(
                    given=text.strip(), allowed=f"{allowed}; write one, a range such as 1-4, or all"
                )
            )
        first, last = int(match[1]), int(match[2] or match[1])
        if not 1 <= first <= last <= count:
            raise InputError(Fault(given=text.strip(), allowed=allowed))
        found += range(first, last + 1)
    return tuple(dict.fromkeys(found))


def plain_number(text: str) -> str:
    """A number cell without "no." or "#" before it."""
    return re.sub(r"^(no\.?|nr\.?|number|#)\s*", "", text.strip().casefold())


def _feature_names(engine: Engine) -> dict[str, str]:
    own = [
        (plain(name), key)
        for key, feature in engine.features.items()
        for name in (key, feature.title, feature.title + "s", key + "s")
    ]
    other = [
        (plain(word), key)
        for key, words in SYNONYMS.items()
        if key in engine.features
        for word in words
    ]
    return {**_unique(other), **_unique(own)}


def _unique(pairs: Iterable[tuple[str, str]]) -> dict[str, str]:
    """Names that stand for one key only; the first key wins where two share a name."""
    names: dict[str, str] = {}
    for name, key in pairs:
        names.setdefault(name, key)
    return names


def _instrument_titles(shop: Shop) -> list[tuple[str, str]]:
    own = [(key, item.title) for key, item in shop.instruments.items()]
    strips = [(key, strip.title) for key, strip in shop.strips.items()]
    generic = [(key, item.title) for key, item in GENERIC_INSTRUMENTS.items()]
    return own + strips + generic


def _one_of(text: str, *, names: list[str], sort: str, owner: str) -> str:
    wanted = plain(text)
    for name in names:
        if plain(name) == wanted:
            return name
    if not names:
        raise UnknownNameError(
            Fault(
                given=text.strip(),
                allowed=f"{owner} is read without a {sort}",
                action="leave the cell empty and put the words into the column note",
            )
        )
    raise _unknown(text, sort=f"{sort} of {owner}", names=names, titles=list(dict.fromkeys(names)))


def _unknown(text: str, *, sort: str, names: Iterable[str], titles: list[str]) -> UnknownNameError:
    question = did_you_mean(given=split_number(plain(text))[0], allowed=names)
    shown = titles if len(titles) <= 12 else [*titles[:11], f"and {len(titles) - 11} more"]
    allowed = f"this is no {sort}"
    if not question:
        allowed += f"; there is {', '.join(shown)}" if shown else ""
    return UnknownNameError(Fault(given=text.strip(), allowed=allowed, action=question))
