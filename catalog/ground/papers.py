"""Papers: facts and pictures go in as data, a PDF comes out, the same one for the same input.

PDF/A-2a (or A-3a, when files are attached: ISO 19005-2, -3) and PDF/UA-1 (ISO 14289-1), typeset with our own fonts only.
What a template finds in its facts stands at its head; what all of them share stands at the head of papers/base.typ.
"""

import hashlib
import json
import re
import shutil
import unicodedata
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import datetime
from functools import lru_cache
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any, Literal

from .codes import code_svg

PROJECT = Path(__file__).resolve().parents[2]
FAMILY = Path(__file__).resolve().parent / "papers"
MONTHS = [
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
]
# Signs that turn or hide the text around them are shown by their code, like those no font has.
_TURNING = set(map(chr, (*range(0x202A, 0x202F), *range(0x2066, 0x206A), 0x200B, 0x2028, 0x2029, 0xFEFF)))
_PICTURE = re.compile(r"[a-z0-9][a-z0-9_-]{0,80}\.(svg|png|jpg)")
_ATTACHED = re.compile(r"[a-z0-9][a-z0-9_-]{0,80}\.(json|txt)")


class CannotTypeset(RuntimeError):
    """The paper could not be set as its template asks; the message says why."""


class _SignLost(CannotTypeset):
    """A sign would have been left out of the paper."""


@dataclass(frozen=True)
class Paper:
    """A paper before it is set.

    `template`: path from the top of the project. `facts`: plain JSON values; `code`, if there, is drawn as a QR code.
    `pictures` (.svg .png .jpg) and `attachments` (.json .txt): bytes by file name in lower case; attached files need a-3a.
    """

    template: str
    facts: dict[str, Any]
    title: str
    pictures: dict[str, bytes] = field(default_factory=dict)
    attachments: dict[str, bytes] = field(default_factory=dict)
    standard: Literal["a-2a", "a-3a"] = "a-2a"


# under which number, by whom, on which day and under which head of the register it was printed: not what it says
_OF_THE_PRINT = frozenset({"printed", "paper", "seal", "asked", "place_date"})


def hash_of(facts: dict[str, Any]) -> str:
    """First 16 hex of SHA-256 over the facts, in groups of four; what is only of the printing does not count."""
    told = {name: value for name, value in facts.items() if name not in _OF_THE_PRINT}
    data = json.dumps(told, ensure_ascii=False, sort_keys=True, separators=(",", ":")).encode("utf-8", "surrogatepass")
    digits = hashlib.sha256(data).hexdigest()[:16]
    return " ".join(digits[n : n + 4] for n in range(0, 16, 4))


def typeset(paper: Paper, *, printed_at: datetime) -> bytes:
    """The paper as PDF. `printed_at` must know its zone; it is what the paper and the file say."""

    if printed_at.tzinfo is None:
        raise ValueError("The hour of printing needs its time zone.")
    if paper.attachments and paper.standard != "a-3a":
        raise CannotTypeset("A paper that carries files has to be PDF/A-3a.")
    try:
        return _set(paper, printed_at, printable)
    except _SignLost:  # a mark and the letter under it that no font has both of
        return _set(paper, printed_at, _printable_apart)


def picture_of(paper: Paper, *, printed_at: datetime, dots_per_inch: int = 192) -> bytes:
    """The same paper of one page as a picture (PNG), for a screen."""
    try:
        return _set(paper, printed_at, printable, dots_per_inch)
    except _SignLost:
        return _set(paper, printed_at, _printable_apart, dots_per_inch)


def _set(paper: Paper, printed_at: datetime, show: Callable[[str], str], dots_per_inch: int | None = None) -> bytes:
    import typst

    how: dict[str, Any] = {"format": "pdf", "pdf_standards": [paper.standard, "ua-1"]}
    if dots_per_inch:
        how = {"format": "png", "ppi": float(dots_per_inch)}
    with TemporaryDirectory(prefix="paper-") as folder:
        _lay_out(paper, Path(folder), printed_at, show)
        try:
            made, warnings = typst.compile_with_warnings(
                Path(folder) / "main.typ",
                root=folder,
                font_paths=_fonts(),
                ignore_system_fonts=True,
                timestamp=int(printed_at.timestamp()),
                **how,
            )
        except typst.TypstError as error:
            kind = _SignLost if "could not be displayed" in error.message else CannotTypeset
            raise kind(f"{paper.template}: {error.message}") from error
    if warnings:  # an unknown font is only a warning and would silently become another
        raise CannotTypeset(f"{paper.template}: " + "; ".join(warning.message for warning in warnings))
    assert isinstance(made, bytes)
    return made


def _lay_out(paper: Paper, folder: Path, printed_at: datetime, show: Callable[[str], str]) -> None:
    """Templates, facts and pictures side by side; nothing outside this folder can be read from a template."""
    template = PROJECT / paper.template
    for source in (FAMILY / "base.typ", *template.parent.glob("*.typ")):
        shutil.copyfile(source, folder / source.name)
    (folder / "main.typ").write_text(f'#include "/{template.name}"\n')
    pictures = dict(paper.pictures)
    if paper.facts.get("code"):
        pictures.setdefault("code.svg", code_svg(paper.facts["code"]).encode())
    _write_all(pictures, _PICTURE, folder)
    _write_all(paper.attachments, _ATTACHED, folder / "attached")
    shown = _each_text(paper.facts, show)
    run = {
        "title": show(paper.title),
        "hash": hash_of(paper.facts),
        "printed_at": _day_and_hour(printed_at),
        "coded_signs": shown != _each_text(paper.facts, lambda text: text.replace("\r\n", "\n")),
        "attached": sorted(paper.attachments),
    }
    (folder / "facts.json").write_text(json.dumps(shown, ensure_ascii=False), encoding="utf-8")
    (folder / "run.json").write_text(json.dumps(run, ensure_ascii=False), encoding="utf-8")


def _write_all(files: dict[str, bytes], names: re.Pattern[str], folder: Path) -> None:
    folder.mkdir(exist_ok=True)
    for name, data in files.items():
        if not names.fullmatch(name):
            raise CannotTypeset(f"{name!r} is no name for a file of a paper.")
        (folder / name).write_bytes(data)


def _day_and_hour(at: datetime) -> str:
    return f"{at.day} {MONTHS[at.month - 1]} {at.year}, {at:%H:%M}"


def printable(text: str) -> str:
    """The text with every sign that our fonts lack, or that turns the text round it, as its code: ‹U+1F41E›."""
    return "".join(
        sign if (sign in "\n\t" or sign in _signs()) and sign not in _TURNING else f"‹U+{ord(sign):04X}›"
        for sign in text.replace("\r\n", "\n")
    )


def _printable_apart(text: str) -> str:
    """As printable(), with every combining mark as its code too."""
    return "".join(f"‹U+{ord(sign):04X}›" if unicodedata.category(sign)[0] == "M" else printable(sign) for sign in text)


def _each_text(value: Any, change: Callable[[str], str]) -> Any:
    if isinstance(value, str):
        return change(value)
    if isinstance(value, dict):
        return {name: _each_text(inner, change) for name, inner in value.items()}
    if isinstance(value, list | tuple):
        return [_each_text(inner, change) for inner in value]
    return value


@lru_cache(maxsize=1)
def _signs() -> frozenset[str]:
    """Every sign one of our fonts has (list kept beside them, made by deploy/cut_fonts.sh)."""
    ranges = (line.split("-") for line in (FAMILY / "fonts/signs.txt").read_text("ascii").split())
    return frozenset(chr(code) for first, last in ranges for code in range(int(first, 16), int(last, 16) + 1))


@lru_cache(maxsize=1)
def _fonts() -> Any:
    import typst

    return typst.Fonts(include_system_fonts=False, include_embedded_fonts=False, font_paths=[FAMILY / "fonts"])
