"""TOML that a person wrote: bytes to text, text to values, and the line on which a key stands.

No TOML reader tells where a value stood once it was read; :func:`line_index` walks over text
that is known to be valid and notes the line of every key and every item of a list.
"""

from __future__ import annotations

import contextlib
import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass

from oilwedge.errors import Fault, InputError, Where

LARGEST_BYTES = 5_000_000
Key = str | int
Path = tuple[Key, ...]

_AT_LINE = re.compile(r"\s*\(at line (\d+), column \d+\)$")
_AT_END = "(at end of document)"
_BLANK = re.compile(r"(?:[ \t\r\n]+|#[^\n]*)*")
_STRING = re.compile(
    r'"""(?:[^\\]|\\.)*?"{3,5}|\'\'\'.*?\'{3,5}|"(?:[^"\\\n]|\\.)*"|\'[^\'\n]*\'', re.DOTALL
)
_BARE = re.compile(r"[A-Za-z0-9_-]+")
_SCALAR = re.compile(r"[^\s,\]}#]+(?:[ ](?=\d\d:)[^\s,\]}#]+)?")


@dataclass(frozen=True, slots=True)
class LineIndex:
    """The line of each key path; a path that does not stand in the text takes its parent's."""

    lines: Mapping[Path, int]

    def line(self, path: Path) -> int | None:
        """The line of a path, or of the nearest table round it; None for the whole file."""
        while path:
            if path in self.lines:
                return self.lines[path]
            path = path[:-1]
        return None


def path_text(path: Path) -> str:
    """A path as a person writes it: "layout.firing_order", an item as "throw_angles[2]"."""
    text = ""
    for key in path:
        if isinstance(key, int):
            text += f"[{key + 1}]"
        else:
            text += f".{key}" if text else key
    return text


def decode_toml(data: bytes, *, file: str, error: type[InputError]) -> str:
    """The text of a file; ``error`` for one that is too large or not UTF-8."""
    if len(data) > LARGEST_BYTES:
        raise error(_too_large(file=file, size=len(data)))
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as wrong:
        line = data.count(b"\n", 0, wrong.start) + 1
        raise error(
            Fault(
                where=Where(file=file, line=line),
                given=f"byte 0x{data[wrong.start]:02x}",
                allowed="the file must be text in UTF-8",
                action="save it again with the encoding UTF-8",
            )
        ) from None


def parse_toml(text: str, *, file: str, error: type[InputError]) -> dict[str, object]:
    """The values of a TOML text; ``error`` with one sentence when it is no TOML or is empty."""
    if len(text) > LARGEST_BYTES:
        raise error(_too_large(file=file, size=len(text)))
    text = text.removeprefix("\ufeff")
    _check_characters(text, file=file, error=error)
    if not _BLANK.sub("", text).strip():
        raise error(
            Fault(
                where=Where(file=file),
                given="",
                allowed="the file is empty",
                action="write a commented start with 'oilwedge engine new', or take a demo file",
            )
        )
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as wrong:
        raise error(_syntax(str(wrong), text=text, file=file)) from None
    except RecursionError:
        fault = Fault(
            where=Where(file=file), given="", allowed="lists and tables are nested too deeply"
        )
        raise error(fault) from None
    except ValueError:
        fault = Fault(
            where=Where(file=file), given="", allowed="a number in it has too many digits"
        )
        raise error(fault) from None


def _check_characters(text: str, *, file: str, error: type[InputError]) -> None:
    """Half of a pair of code units is no character; text decoded with care never holds one."""
    try:
        text.encode("utf-8")
    except UnicodeEncodeError as wrong:
        line = text.count("\n", 0, wrong.start) + 1
        fault = Fault(
            where=Where(file=file, line=line),
            given=f"code {ord(text[wrong.start]):#x}",
            allowed="this is no character",
            action="save the file again with the encoding UTF-8",
        )
        raise error(fault) from None


def _too_large(*, file: str, size: int) -> Fault:
    return Fault(
        where=Where(file=file),
        given=f"{size / 1e6:.1f} MB",
        allowed=f"no more than {LARGEST_BYTES // 1_000_000} MB are read",
        action="check that this is the right file",
    )


def _syntax(message: str, *, text: str, file: str) -> Fault:
    lines = text.split("\n")
    match = _AT_LINE.search(message)
    line = int(match[1]) if match else len(lines)
    reason = _AT_LINE.sub("", message).replace(_AT_END, "").strip()
    written = lines[line - 1].strip() if line <= len(lines) else ""
    return Fault(
        where=Where(file=file, line=line),
        given=written[:60],
        allowed=f"this cannot be read as TOML ({reason[:1].lower()}{reason[1:]})",
        action='write key = "value", text and quantities in quotes, each key once',
    )


def line_index(text: str) -> LineIndex:
    """The line of every key path of a text that :func:`parse_toml` accepts."""
    walker = _Walker(text.removeprefix("\ufeff").replace("\r\n", "\n"))
    # a line that is not found is only left out of the sentence
    with contextlib.suppress(RecursionError, IndexError, AttributeError):
        walker.walk()
    return LineIndex(walker.lines)


class _Walker:
    """Steps over valid TOML, keeping the position and the table that it is in."""

    def __init__(self, text: str) -> None:
        self.text = text
        self.place = 0
        self.counted_to = 0
        self.line = 1
        self.lines: dict[Path, int] = {}
        self.arrays: dict[Path, int] = {}

    def walk(self) -> None:
        table: Path = ()
        self._blank()
        while self.place < len(self.text):
            table = self._header() if self.text[self.place] == "[" else self._pair(table)
            self._blank()

    def _header(self) -> Path:
        double = self.text.startswith("[[", self.place)
        line = self._line()
        self.place += 2 if double else 1
        names = self._key()
        self.place = self.text.index("]", self.place) + (2 if double else 1)
        path: Path = ()
        for position, name in enumerate(names):
            path = (*path, name)
            if double and position == len(names) - 1:
                self.arrays[path] = self.arrays.get(path, -1) + 1
            self._note(path, line)
            if path in self.arrays:
                path = (*path, self.arrays[path])
        self._note(path, line)
        return path

    def _pair(self, table: Path) -> Path:
        line = self._line()
        path = table
        for name in self._key():
            path = (*path, name)
            self._note(path, line)
        self._blank()
        self.place += 1  # the equals sign
        self._value(path)
        return table

    def _key(self) -> list[str]:
        names: list[str] = []
        while True:
            self._blank()
            match = _STRING.match(self.text, self.place) or _BARE.match(self.text, self.place)
            if match is None:
                raise IndexError("no key here")
            self.place = match.end()
            names.append(_unquoted(match[0]))
            self._blank()
            if self.text[self.place] != ".":
                return names
            self.place += 1

    def _value(self, path: Path) -> None:
        self._blank()
        first = self.text[self.place]
        if first == "[":
            self._list(path)
        elif first == "{":
            self._inline(path)
        else:
            match = _STRING.match(self.text, self.place) or _SCALAR.match(self.text, self.place)
            if match is None:
                raise IndexError("no value here")
            self.place = match.end()

    def _list(self, path: Path) -> None:
        self.place += 1
        count = 0
        self._blank()
        while self.text[self.place] != "]":
            item = (*path, count)
            self._note(item, self._line())
            self._value(item)
            count += 1
            self._comma()
        self.place += 1

    def _inline(self, path: Path) -> None:
        self.place += 1
        self._blank()
        while self.text[self.place] != "}":
            self._pair(path)
            self._comma()
        self.place += 1

    def _comma(self) -> None:
        self._blank()
        if self.text[self.place] == ",":
            self.place += 1
            self._blank()

    def _blank(self) -> None:
        match = _BLANK.match(self.text, self.place)
        if match is not None:
            self.place = match.end()

    def _line(self) -> int:
        self.line += self.text.count("\n", self.counted_to, self.place)
        self.counted_to = self.place
        return self.line

    def _note(self, path: Path, line: int) -> None:
        self.lines.setdefault(path, line)


def _unquoted(key: str) -> str:
    if key[0] in "\"'":
        return next(iter(tomllib.loads(f"{key} = 0")))
    return key
