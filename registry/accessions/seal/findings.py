"""What a check of the whole register finds: the first thing that does not stand, in a sentence."""

import re
from collections import defaultdict
from collections.abc import Iterable, Sequence
from hashlib import sha256
from itertools import islice
from typing import Any, NamedTuple

from registry.accessions.seal.checkpoints import Checkpoint
from registry.accessions.seal.lines import bare_number, read_line
from registry.accessions.seal.tree import Tree

STANDS, FALLEN, CANNOT_TELL, BEHIND = 0, 1, 2, 3


class Stored(NamedTuple):
    """One line as it is kept. `leaf` and `head` are None where only the bytes were handed out."""

    line: int
    raw: bytes
    leaf: bytes | None = None
    head: bytes | None = None


class Finding(NamedTuple):
    code: int  # STANDS, FALLEN, CANNOT_TELL or BEHIND
    sentence: str
    size: int  # lines read
    root: bytes  # of all of them


def first_fault(lines: Iterable[Stored], checkpoints: Sequence[Checkpoint] = (), deep: bool = False) -> str | None:
    """The sentence about the first thing that does not stand, or None."""
    found = check(lines, checkpoints, deep)
    return None if found.code == STANDS else found.sentence


def check(
    lines: Iterable[Stored], checkpoints: Sequence[Checkpoint] = (), deep: bool = False, register: bool = True
) -> Finding:
    """Checks all lines in order (plain tuples in the order of `Stored` do as well), then the checkpoints.

    Leaves and the last head come first; the head of every line is walked only if the last one differs or with `deep`,
    which also reads every line in full. `register=False`: entries of another tree, whose members are not read.
    """
    seen = _Pass(deep, register)
    rows = iter(lines)
    while batch := list(islice(rows, 300)):
        seen.take(batch)
    tree = Tree(seen.leaves)
    head = tree.root()
    fault = seen.line_fault()
    if not fault and (deep or seen.heads[-1:] not in ([], [None], [head])):
        fault = _head_fault(seen.heads, tree)
    fault = fault or _number_fault(seen)
    code, sentence = (FALLEN, fault) if fault else _against(checkpoints, tree, seen)
    return Finding(code, sentence, tree.size, head)


_GLANCE = re.compile(
    rb'"kind":"([a-z ]+)","line":([0-9]+),(?:"mass_g":(?:null|"[0-9.]*"),)?'
    rb'(?:"number":"([^"\\\n]*\.)([^"\\\n]*)")?'
)
_TAKES_A_NUMBER = frozenset([b"accession", b"transcribed", b"void"])


class _Pass:
    """One pass over the lines, in batches. In sealed bytes `"line":` can only be a name, since a quote within text is
    escaped: so most lines are glanced at, and only those that look unusual are read in full (a twentieth of the time).
    """

    def __init__(self, deep: bool, register: bool) -> None:
        self.deep, self.reads = deep, register
        self.leaves: list[bytes] = []
        self.heads: list[bytes | None] = []
        self.changed: list[tuple[int, bytes]] = []
        self.misplaced = ""
        self.origin = ""
        self.opened: int | None = None
        self.on_paper = 0
        self.abandoned: list[tuple[int, Any]] = []
        self.numbers: dict[bytes, dict[bytes, int]] = defaultdict(dict)  # "TH 2026." -> "1" -> its first line
        self.double = ""

    def take(self, batch: Sequence[Stored]) -> None:
        places, raws, kept, heads = zip(*batch, strict=True)
        due = range(len(self.leaves) + 1, len(self.leaves) + len(raws) + 1)
        own = [sha256(b"\x00" + raw).digest() for raw in raws]
        self.leaves += own
        self.heads += heads
        if list(kept) != own:
            pairs = zip(due, own, kept, strict=True)
            self.changed += [(n, held) for n, leaf, held in pairs if held is not None and held != leaf]
        if self.reads and not self.misplaced:
            self.misplaced = _misplaced(places, due)
            if not self.misplaced:
                self._glance(due, raws)

    def _glance(self, due: range, raws: Sequence[bytes]) -> None:
        text, in_full = b"\n".join(raws), self.deep
        if due.start == 1:
            self._read(1, raws[0])
            in_full |= text.count(b'"register":"%s"' % self.origin.encode()) < len(raws)
        seen = _GLANCE.findall(text)
        if in_full or [line for _, line, _, _ in seen] != [b"%d" % n for n in due]:
            seen = [(b"", b"", b"", b"")] * len(raws)
        numbers, takes = self.numbers, _TAKES_A_NUMBER
        for n, (kind, _, book, serial) in zip(due, seen, strict=True):
            if not serial:
                kind, book, serial = self._read(n, raws[n - due.start])
            if kind in takes:
                first = numbers[book].setdefault(serial, n)
                if first != n and not self.double:
                    number = bare_number((book + serial).decode(errors="replace"))
                    self.double = f"{number} stands twice, in lines {first} and {n}"

    def _read(self, place: int, raw: bytes) -> tuple[bytes, bytes, bytes]:
        """Reads one line in full; gives its kind and its number as "TH 2026." and "1"."""
        try:
            members = read_line(raw)
        except ValueError as why:
            self.misplaced = self.misplaced or f"Line {place} cannot be read as a line of the register: {why}"
            return b"", b"", b""
        line, kind, origin = members.get("line"), str(members.get("kind")), str(members.get("register"))
        if place == 1:
            self.origin = origin
        if line != place:
            self.misplaced = self.misplaced or f"Line {place} says that it is line {line}"
        elif origin != self.origin:
            self.misplaced = self.misplaced or f"Line {place} is of {origin}, line 1 is of {self.origin}"
        if kind == "opening" and self.opened is None and re.match("[0-9]{4}-", str(members.get("at"))):
            self.opened = int(members["at"][:4])
            paper = members.get("last_on_paper")  # the last number of that year that was given before, on paper
            self.on_paper = paper if isinstance(paper, int) and 0 < paper < 10**6 else 0
        elif kind == "restored":
            self.abandoned.append((place, members.get("abandons")))
        book, dot, serial = str(members.get("number", "")).encode().rpartition(b".")
        return kind.encode(), book + dot, serial

    def line_fault(self) -> str:
        if not self.changed:
            return self.misplaced
        line, kept = self.changed[0]
        others = sorted(set(range(1, len(self.leaves) + 1)) - {place for place, _ in self.changed})
        return (
            f"Line {line} does not stand: its bytes give leaf {self.leaves[line - 1].hex()}, "
            f"the register holds {kept.hex()}; {_spans(others, 'agree with their leaves', 'agrees with its leaf')}"
        )


def _misplaced(places: Sequence[int], due: range) -> str:
    if places != tuple(due):
        place, line = next(pair for pair in zip(due, places, strict=True) if pair[0] != pair[1])
        return f"Line {place} is not there: line {line} stands in its place"
    return ""


def _number_fault(seen: _Pass) -> str:
    """Within a year that the register itself kept no number is missing; older paper may have gaps, but no doubles."""
    if seen.double or seen.opened is None:
        return seen.double
    for book, serials in seen.numbers.items():
        year = re.fullmatch(rb"(?:.* )?([0-9]{4})\.", book)
        if year is None or int(year[1]) < seen.opened:
            continue
        short = serials if max(map(len, serials)) < 10 else [serial for serial in serials if len(serial) < 10]
        used = set(map(int, filter(bytes.isdigit, short)))
        used.discard(0)
        if int(year[1]) == seen.opened:
            used.update(range(1, seen.on_paper + 1))
        if used and max(used) != len(used):
            missing = next(n for n in range(1, max(used)) if n not in used)
            return f"{year[1].decode()}.{missing} has no line (accession, transcribed or void)"
    return ""


def _spans(places: list[int], several: str, one: str) -> str:
    """`lines 1-2 and 4-412 agree`, in at most six spans."""
    spans: list[list[int]] = []
    for place in places:
        if spans and spans[-1][1] == place - 1:
            spans[-1][1] = place
        else:
            spans.append([place, place])
    if not spans:
        return f"no other line {one}"
    if len(spans) > 6:
        return f"{len(places)} other lines {several}"
    words = [str(first) if first == last else f"{first}-{last}" for first, last in spans]
    text = " and ".join([", ".join(words[:-1]), words[-1]] if words[1:] else words)
    return f"line {text} {one}" if len(places) == 1 else f"lines {text} {several}"


def _head_fault(heads: Sequence[bytes | None], tree: Tree) -> str:
    """The first line whose head is not the one that the lines before and at it give."""
    differ = {n for n, head in enumerate(heads, 1) if head is not None and head != tree.root(n)}
    if not differ:
        return ""
    first = min(differ)
    rest = [n for n in range(first + 1, len(heads) + 1) if n not in differ]
    if not rest:
        return f"Line {first}: head differs from here on"
    return f"Line {first}: head differs; {_spans(rest, 'after it agree with theirs', 'after it agrees with its head')}"


def _against(checkpoints: Sequence[Checkpoint], tree: Tree, seen: _Pass) -> tuple[int, str]:
    """What the checkpoints say of lines that agree with each other: the code and the sentence."""
    for point in checkpoints:
        if point.origin and seen.origin and point.origin != seen.origin:
            return CANNOT_TELL, f"The {point.said} is of {point.origin}, the lines are of {seen.origin}"
    agree, apart, ahead, explained = [], [], [], []
    for point in sorted(checkpoints, key=lambda one: one.size):
        line = _explains(seen.abandoned, point)
        if point.size <= tree.size and point.saw(tree.root(point.size)):
            agree.append(point)
        elif line:
            explained.append(
                f"forked after line {min(line, point.size) - 1} at the latest; explained by line {line} (restored)"
            )
        elif point.size > tree.size:
            ahead.append(point)
        else:
            apart.append(point)
    if apart:
        return FALLEN, _altered(apart[0], agree, seen)
    if ahead:
        return BEHIND, f"Register has {tree.size} lines, a checkpoint saw {ahead[-1].size}: behind its checkpoint"
    return STANDS, "; ".join([_standing(tree.size, agree), *explained])


def _explains(abandoned: Sequence[tuple[int, Any]], point: Checkpoint) -> int:
    """The `restored` line that names exactly this checkpoint as given up, or 0."""
    for line, abandons in abandoned:
        given_up = abandons if isinstance(abandons, dict) else {}
        if given_up.get("size") == point.size and str(given_up.get("root")).startswith(point.root.hex()):
            return line
    return 0


def _altered(point: Checkpoint, agree: Sequence[Checkpoint], seen: _Pass) -> str:
    told = "Lines agree with each other but not" if any(seen.heads[-1:]) else "Lines do not agree"
    told = f"{told} with the {point.said}"
    newest = agree[-1] if agree else None
    last = next((one for one in reversed(agree) if one.size < point.size), None)
    past = last.size if last else 0
    restored = [line for line, _ in seen.abandoned if line > past]
    if newest and newest.size >= point.size:
        return f"{told}, though they agree with the {newest.said}: the two are not of one register"
    if restored:
        fork = min(restored[0], point.size) - 1
        return f"Forked after line {fork} at the latest; not explained: no restored line names the {point.said}"
    if last:
        told = f"{told}; they agree with that {last.said.removeprefix('checkpoint ')}"
    return f"{told}: altered between {past + 1} and {point.size}"


def _standing(size: int, agree: Sequence[Checkpoint]) -> str:
    if not agree:
        return f"{size} lines agree with each other; no checkpoint from outside vouches for them"
    newer = f"; no checkpoint has seen lines {agree[-1].size + 1}-{size} yet" if agree[-1].size < size else ""
    return f"{size} lines stand and agree with the {agree[-1].said}{newer}"
