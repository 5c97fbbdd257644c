#!/usr/bin/env python3
# ruff: noqa: E402, F811, I001
"""Checks a cast register, or one line of it, without the house that keeps it.

One file, Python 3.11 or later and nothing else; give it to whom you like.

    python verify_register.py lines.jsonl --checkpoint FILE...            the whole register
    python verify_register.py line.json proof.txt --checkpoint FILE       one line with its certificate

lines.jsonl     the sealed bytes of each line as they are, each followed by one LF
line.json       the sealed bytes of one line, no LF
proof.txt       'line N', 'size N', then from the line upwards one row for each hash: the side on which it stands when
                both are hashed together, and its 64 hex digits, as in
                    line 3
                    size 5
                    right 72456856159468f331fec0ed7c7b69165fc0ab29cd4d2c115f66b14511c1c85d
--checkpoint    files that hold one or more checkpoints: origin, size and base64 root, each on a line of its own;
                signed notes are read too
--size, --root  a checkpoint typed from paper: the root as base64, as 64 hex digits, or only the seal of 12 hex
                digits, which is shorter and so says less
--key           the public key of the register (name+id+base64): signatures are checked if the Python package
                `cryptography` is there, else it says so
--deep          reads every line in full; without it most are only glanced at

Ends with 0 if all stands, 1 if something does not, 2 if it cannot tell (it says why), 3 if the register has fewer lines
than a checkpoint saw. It shows that nothing was changed up to a checkpoint; not that it was true when it was written,
nor that it was written on its day.

By hand, with coreutils and openssl, LEFT and RIGHT being the two hashes in the order of the proof:
    ( printf '\\000'; cat line.json ) | sha256sum
    ( printf '\\001'; printf '%s%s' $LEFT $RIGHT | xxd -r -p ) | sha256sum        for each row; the last is the root
    openssl pkeyutl -verify -pubin -keyform DER -inkey key.der -rawin -in checkpoint-body.txt -sigfile sig.bin
"""

import argparse
import sys
from collections.abc import Iterator
from pathlib import Path


# ==== registry/accessions/seal/lines.py, word for word ====

"""The bytes of a line that are sealed (RFC 8785). What cannot be sealed is a ValueError, said in half a sentence."""

import json
import unicodedata
from datetime import UTC, datetime
from hashlib import sha256
from typing import Any

LARGEST_INTEGER = 2**53 - 1  # beyond it, readers that hold numbers as binary floats would see another one


def canonical(members: dict[str, Any], levels: int = 1) -> bytes:
    """The bytes that are sealed (RFC 8785): text, integers, nothing, and at most `levels` of objects or lists within.

    Refuses true and false, floats (decimals are text), integers beyond 2^53-1, names outside ASCII, text that is not
    NFC or holds half a surrogate pair. Within these kinds sorted `json.dumps` is RFC 8785, byte for byte.
    """
    if not isinstance(members, dict):
        raise ValueError("a line is an object with named members")
    _refuse_unsealable(members, levels, "line")
    return json.dumps(members, ensure_ascii=False, sort_keys=True, separators=(",", ":")).encode()


def _refuse_unsealable(value: Any, levels: int, at: str) -> None:
    if value is None:
        return
    if isinstance(value, str):
        _refuse_text(value, at)
    elif isinstance(value, bool) or not isinstance(value, int | dict | list | tuple):
        raise ValueError(f"{at}: {type(value).__name__} cannot be sealed; decimals and dates go in as text")
    elif isinstance(value, int):
        if abs(value) > LARGEST_INTEGER:
            raise ValueError(f"{at}: {value} is beyond 2^53-1; it goes in as text")
    elif levels < 0:
        raise ValueError(f"{at}: nested deeper than a line may be")
    elif isinstance(value, dict):
        for name, inner in value.items():
            if not isinstance(name, str) or not name.isascii():
                raise ValueError(f"{at}: the name {name!r} is not text in ASCII")
            _refuse_unsealable(inner, levels - 1, f"{at}.{name}")
    else:
        for place, inner in enumerate(value):
            _refuse_unsealable(inner, levels - 1, f"{at}[{place}]")


def _refuse_text(text: str, at: str) -> None:
    if text.isascii():
        return
    if any("\ud800" <= sign <= "\udfff" for sign in text):
        raise ValueError(f"{at}: the text holds half of a surrogate pair")
    if not unicodedata.is_normalized("NFC", text):
        raise ValueError(f"{at}: the text is not in composed form (NFC)")


def read_line(raw: bytes, levels: int = 1) -> dict[str, Any]:
    """The members of a line, only if `raw` is exactly what `canonical` writes for them: so none stands twice either."""
    try:
        members = json.loads(bytes(raw).decode())
    except (UnicodeDecodeError, json.JSONDecodeError, RecursionError):
        raise ValueError("its bytes are not JSON in UTF-8") from None
    if canonical(members, levels) != raw:
        raise ValueError("its bytes are not in the one order and spelling that is sealed (RFC 8785)")
    return dict(members)


def commit_of(salt: bytes, text: str) -> str:
    """64 hex digits that bind the register to a text without holding it: SHA-256 of 32 random bytes, then the text."""
    if len(salt) != 32:
        raise ValueError("the salt is 32 random bytes")
    _refuse_text(text, "text")
    return sha256(salt + text.encode()).hexdigest()


def bare_number(number: str) -> str:
    """The number without the collection's code: `2026.1` of `TH 2026.1`."""
    return number.rpartition(" ")[2]


def column_fault(raw: bytes, columns: dict[str, Any]) -> str | None:
    """The first column shown beside a line that differs from what is sealed in it.

    A number may leave the collection's code out; an empty column stands for nothing; an instant may be a `datetime`.
    """
    try:
        sealed = read_line(raw)
    except ValueError as why:
        return f"Line {columns.get('line', '')} cannot be read as a line of the register: {why}"
    for name, shown in columns.items():
        own = sealed.get(name)
        if isinstance(shown, datetime):
            shown = shown.astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%SZ")
        if name == "number" and isinstance(own, str) and " " not in str(shown):
            own = bare_number(own)
        if shown != own and not (shown == "" and own is None):
            return f"Line {columns.get('line', sealed.get('line'))}: {name} shown {shown}, sealed {own}"
    return None


# ==== registry/accessions/seal/tree.py, word for word ====

"""The tree over all lines (RFC 9162, 2.1): its heads, and the proofs that lead to them.

Hashes are 32 bytes. An index counts from 0 as in the RFC, a line from 1.
"""

from collections.abc import Iterable, Sequence
from hashlib import sha256

EMPTY = sha256(b"").digest()


def leaf(raw: bytes) -> bytes:
    return sha256(b"\x00" + raw).digest()


def node(left: bytes, right: bytes) -> bytes:
    return sha256(b"\x01" + left + right).digest()


def append(frontier: Sequence[bytes], size: int, new: bytes) -> list[bytes]:
    """The frontier (roots of the full subtrees, largest first) after leaf `new` joins `size` leaves; O(log size)."""
    if len(frontier) != size.bit_count():
        raise ValueError(f"a frontier of {len(frontier)} roots does not belong to {size} lines")
    grown = [*frontier, new]
    while size & 1:
        right = grown.pop()
        grown[-1] = node(grown[-1], right)
        size >>= 1
    return grown


def root_of(frontier: Sequence[bytes]) -> bytes:
    """The head: the root over all leaves that the frontier stands for."""
    if not frontier:
        return EMPTY
    head = frontier[-1]
    for left in reversed(frontier[:-1]):
        head = node(left, head)
    return head


class Tree:
    """All full subtrees over the leaves: row k holds the roots of 2^k leaves each, so any head is O(log n) away."""

    def __init__(self, leaves: Iterable[bytes]) -> None:
        row = list(leaves)
        self.size, self.rows = len(row), [row]
        while len(row) > 1:
            row = [sha256(b"\x01" + left + right).digest() for left, right in zip(row[::2], row[1::2], strict=False)]
            self.rows.append(row)

    def frontier(self, start: int, end: int) -> list[bytes]:
        peaks = []
        for k in reversed(range((end - start).bit_length())):
            if (end - start) >> k & 1:
                peaks.append(self.rows[k][start >> k])
                start += 1 << k
        return peaks

    def root(self, size: int | None = None) -> bytes:
        """The head after `size` lines (all of them if not said)."""
        size = self.size if size is None else size
        if not 0 <= size <= self.size:
            raise ValueError(f"there is no head of {size} lines, the register has {self.size}")
        return root_of(self.frontier(0, size))

    def inclusion(self, index: int, size: int | None = None) -> list[bytes]:
        """The hashes that lead from leaf `index` to the head of `size` lines, nearest first (2.1.3.1)."""
        end = self.size if size is None else size
        if not 0 <= index < end <= self.size:
            raise ValueError(f"there is no leaf {index} in {end} of {self.size} lines")
        start, path = 0, []
        while end - start > 1:
            split = _split(start, end)
            if index < split:
                path.append(root_of(self.frontier(split, end)))
                end = split
            else:
                path.append(root_of(self.frontier(start, split)))
                start = split
        return path[::-1]

    def consistency(self, size1: int, size2: int | None = None) -> list[bytes]:
        """The hashes that show that the first `size1` of `size2` lines are unchanged (2.1.4.1)."""
        end = self.size if size2 is None else size2
        if not 1 <= size1 <= end <= self.size:
            raise ValueError(f"there is no proof from {size1} to {end} of {self.size} lines")
        start, path = 0, []
        while end != size1:
            split = _split(start, end)
            if size1 <= split:
                path.append(root_of(self.frontier(split, end)))
                end = split
            else:
                path.append(root_of(self.frontier(start, split)))
                start = split
        if start:  # the verifier knows the root of all `size1` lines, but not of a part of them
            path.append(root_of(self.frontier(start, end)))
        return path[::-1]


def _split(start: int, end: int) -> int:
    """Where the tree over [start, end) parts: the largest power of two smaller than its width."""
    return start + (1 << (end - start - 1).bit_length() - 1)


def root(leaves: Iterable[bytes]) -> bytes:
    return Tree(leaves).root()


def sides(index: int, size: int) -> list[str]:
    """On which side of the running hash each hash of an inclusion proof stands, `left` or `right`, nearest first."""
    start, end, order = 0, size, []
    while end - start > 1:
        split = _split(start, end)
        order.append("right" if index < split else "left")
        start, end = (start, split) if index < split else (split, end)
    return order[::-1]


def are_hashes(*hashes: bytes) -> bool:
    return all(isinstance(one, bytes) and len(one) == 32 for one in hashes)


def root_by_proof(start: bytes, index: int, size: int, proof: Sequence[bytes]) -> bytes | None:
    """The root that an inclusion proof leads to (2.1.3.2), or None if the proof cannot belong to this place."""
    if not 0 <= index < size or not are_hashes(start, *proof):
        return None
    fn, sn, reached = index, size - 1, start
    for beside in proof:
        if sn == 0:
            return None
        if fn & 1 or fn == sn:
            reached = node(beside, reached)
            while not fn & 1 and fn:
                fn, sn = fn >> 1, sn >> 1
        else:
            reached = node(reached, beside)
        fn, sn = fn >> 1, sn >> 1
    return reached if sn == 0 else None


def is_included(start: bytes, index: int, size: int, proof: Sequence[bytes], head: bytes) -> bool:
    return root_by_proof(start, index, size, proof) == head


def is_consistent(size1: int, root1: bytes, size2: int, root2: bytes, proof: Sequence[bytes]) -> bool:
    """Whether the register of `size2` lines continues that of `size1` lines (2.1.4.2)."""
    if not 1 <= size1 <= size2 or not are_hashes(root1, root2, *proof):
        return False
    if size1 == size2:
        return not proof and root1 == root2
    whole = size1 & (size1 - 1) == 0
    path = [root1, *proof] if whole else list(proof)
    if not path:
        return False
    fn, sn = size1 - 1, size2 - 1
    while fn & 1:
        fn, sn = fn >> 1, sn >> 1
    old = new = path[0]
    for beside in path[1:]:
        if sn == 0:
            return False
        if fn & 1 or fn == sn:
            old, new = node(beside, old), node(beside, new)
            while not fn & 1 and fn:
                fn, sn = fn >> 1, sn >> 1
        else:
            new = node(new, beside)
        fn, sn = fn >> 1, sn >> 1
    return sn == 0 and old == root1 and new == root2


def seal_words(head: bytes) -> str:
    """The seal shown in lists and on paper: the first 12 hex digits of a head in groups of four."""
    digits = head.hex()
    return f"{digits[:4]} {digits[4:8]} {digits[8:12]}"


# ==== registry/accessions/seal/checkpoints.py, word for word ====

"""Checkpoints (C2SP tlog-checkpoint) and their signatures (C2SP signed-note, Ed25519 of RFC 8032).

Ed25519 needs `cryptography`, which is looked for only where a signature is made or checked.
"""

import base64
import binascii
import re
from collections.abc import Sequence
from hashlib import sha256
from typing import NamedTuple


class Checkpoint(NamedTuple):
    """What somebody outside keeps. `root` is 32 bytes, or the 6 of a seal on paper; `named` says which it is."""

    origin: str  # empty where it was typed from paper
    size: int
    root: bytes
    body: str = ""  # the text that is signed
    signatures: tuple[str, ...] = ()
    named: str = ""  # as in "of 9 April"

    @property
    def said(self) -> str:
        return f"checkpoint {self.named} (size {self.size})" if self.named else f"checkpoint of size {self.size}"

    def saw(self, head: bytes) -> bool:
        return head.startswith(self.root)


def checkpoint_body(origin: str, size: int, head: bytes) -> str:
    """The three lines of a checkpoint; unsigned it is complete like this."""
    _refuse_name(origin)
    if not are_hashes(head):
        raise ValueError("the root of a checkpoint is 32 bytes")
    return f"{origin}\n{read_size(str(size))}\n{_in_base64(head)}\n"


def read_checkpoints(text: str, named: str = "") -> list[Checkpoint]:
    """All checkpoints of a text, signed or not, one after the other."""
    found: list[tuple[list[str], list[str]]] = []
    in_body = False
    for row in text.replace("\r\n", "\n").split("\n"):  # mail may have changed the line ends
        if row and not row.startswith("— "):
            if not in_body:
                found.append(([], []))
            found[-1][0].append(row)
        elif row and found:
            found[-1][1].append(row)
        in_body = bool(row) and not row.startswith("— ")
    if not found:
        raise ValueError(_SHAPE)
    return [_checkpoint(body, tuple(signatures), named) for body, signatures in found]


_SHAPE = "a checkpoint is its origin, its size and its root, each on a line of its own"


def read_checkpoint(text: str, named: str = "") -> Checkpoint:
    """The one checkpoint of a text."""
    found = read_checkpoints(text, named)
    if len(found) != 1:
        raise ValueError(f"there are {len(found)} checkpoints in this text, not one")
    return found[0]


def _checkpoint(body: list[str], signatures: tuple[str, ...], named: str) -> Checkpoint:
    if len(body) < 3:  # more rows may follow: the standard leaves room for them
        raise ValueError(_SHAPE)
    head = _of_base64(body[2], "root")
    if len(head) != 32:
        raise ValueError(f"the root is {len(head)} bytes long, not 32")
    return Checkpoint(body[0], read_size(body[1]), head, "".join(f"{row}\n" for row in body), signatures, named)


def read_root(text: str) -> bytes:
    """A root typed from paper: base64 as in a checkpoint, 64 hex digits, or the 12 hex digits of a seal (6 bytes)."""
    digits = "".join(text.split())
    if re.fullmatch("[0-9A-Fa-f]{64}|[0-9A-Fa-f]{12}", digits):
        return bytes.fromhex(digits)
    head = _of_base64(digits, "root")
    if len(head) != 32:
        raise ValueError(f"the root is {len(head)} bytes long, not 32")
    return head


def read_size(text: str) -> int:
    if not re.fullmatch("0|[1-9][0-9]{0,15}", text):
        raise ValueError(f"'{text}' is not a number of lines")
    return int(text)


def _in_base64(data: bytes) -> str:
    return base64.b64encode(data).decode()


def _of_base64(text: str, what: str) -> bytes:
    try:
        data = base64.b64decode(text, validate=True)
    except (binascii.Error, ValueError):
        data = b""
    if not data or _in_base64(data) != text:  # the same bytes spelt in another way are refused too
        raise ValueError(f"the {what} is not base64: '{text}'")
    return data


def key_text(name: str, public: bytes) -> str:
    """The public key as witnesses keep it: name+key id+base64, the C2SP `vkey`."""
    if not are_hashes(public):
        raise ValueError("a public key is 32 bytes")
    return f"{name}+{_key_id(name, public).hex()}+{_in_base64(_ED25519 + public)}"


_ED25519 = b"\x01"


def _refuse_name(name: str) -> None:
    if not name or "+" in name or any(character.isspace() for character in name):
        raise ValueError(f"the name '{name}' is empty or holds a space or a plus sign")


def _key_id(name: str, public: bytes) -> bytes:
    _refuse_name(name)
    return sha256(name.encode() + b"\n" + _ED25519 + public).digest()[:4]


def read_key(text: str) -> tuple[str, bytes]:
    """Name and public key of a `vkey`."""
    name, _, rest = text.strip().partition("+")
    key_id, _, coded = rest.partition("+")
    key = _of_base64(coded, "key")
    if key[:1] != _ED25519 or len(key) != 33 or _key_id(name, key[1:]).hex() != key_id:
        raise ValueError("the key does not agree with its own key id, or is not an Ed25519 key")
    return name, key[1:]


def public_of(secret: bytes) -> bytes:
    """The 32 public bytes of a 32-byte Ed25519 secret."""
    from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

    return Ed25519PrivateKey.from_private_bytes(secret).public_key().public_bytes_raw()


def sign(body: str, secret: bytes, name: str) -> str:
    """The signed note: the body, an empty line, one line of signature. `secret` is the 32 bytes of RFC 8032."""
    from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

    key = Ed25519PrivateKey.from_private_bytes(secret)
    key_id = _key_id(name, key.public_key().public_bytes_raw())
    return f"{body}\n— {name} {_in_base64(key_id + key.sign(body.encode()))}\n"


def is_signed(body: str, signatures: Sequence[str], key: str) -> bool | None:
    """True: signed with this key. False: a signature in its name that does not hold. None: no signature by it.

    Raises ImportError where `cryptography` is missing: then say "signature not checked".
    """
    name, public = read_key(key)
    start = f"— {name} "
    for coded in (row.removeprefix(start) for row in signatures if row.startswith(start)):
        try:
            signature = _of_base64(coded, "signature")
        except ValueError:
            return False
        if signature[:4] == _key_id(name, public):
            return _holds(public, signature[4:], body.encode())
    return None


def _holds(public: bytes, signature: bytes, signed: bytes) -> bool:
    from cryptography.exceptions import InvalidSignature
    from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PublicKey

    try:
        Ed25519PublicKey.from_public_bytes(public).verify(signature, signed)
    except InvalidSignature:
        return False
    return True


# ==== registry/accessions/seal/certificates.py, word for word ====

"""One line, the proof that leads from it to a head, and the checkpoint that saw this head."""

import re
from collections.abc import Sequence
from typing import NamedTuple


class Proof(NamedTuple):
    line: int
    size: int
    steps: list[tuple[str, bytes]]  # ("left" or "right", hash), nearest to the line first


def proof_text(line: int, size: int, hashes: Sequence[bytes]) -> str:
    """`proof.txt`: the line's number, the register's size, then each hash with the side on which it stands."""
    steps = "".join(f"{side} {one.hex()}\n" for side, one in zip(sides(line - 1, size), hashes, strict=True))
    return f"line {line}\nsize {size}\n{steps}"


def read_proof(text: str) -> Proof:
    """Reads `proof.txt`, also one typed from paper: empty lines, capitals and gaps between the digits do no harm."""
    rows = [row.split() for row in text.lower().splitlines() if row.strip()]
    if len(rows) < 2 or [row[0] for row in rows[:2]] != ["line", "size"]:
        raise ValueError("a proof begins with its line and its size, as in 'line 3' and 'size 5'")
    line, size = (read_size("".join(row[1:])) for row in rows[:2])
    steps = []
    for side, *groups in rows[2:]:
        digits = "".join(groups)
        if side not in ("left", "right") or not re.fullmatch("[0-9a-f]{64}", digits):
            raise ValueError(f"a step is 'left' or 'right' and 64 hex digits, not '{side} {digits}'")
        steps.append((side, bytes.fromhex(digits)))
    return Proof(line, size, steps)


def certificate_fault(raw: bytes, proof: Proof, point: Checkpoint) -> str | None:
    """Why one line, its proof and a checkpoint of the same size do not belong together, or None: the line stood."""
    try:
        members = read_line(raw)
    except ValueError as why:
        return f"Line {proof.line} cannot be read as a line of the register: {why}"
    if members.get("line") != proof.line:
        return f"The proof is for line {proof.line}, the line says that it is line {members.get('line')}"
    if point.origin and members.get("register") != point.origin:
        return f"The line is of {members.get('register')}, the {point.said} of {point.origin}"
    if point.size != proof.size:
        return f"The proof leads to the head of {proof.size} lines, the checkpoint is of size {point.size}"
    if not 1 <= proof.line <= proof.size or [side for side, _ in proof.steps] != sides(proof.line - 1, proof.size):
        return f"The steps of the proof do not lead from line {proof.line} to the head of {proof.size} lines"
    reached = root_by_proof(leaf(raw), proof.line - 1, proof.size, [one for _, one in proof.steps])
    if reached is None or not point.saw(reached):
        seal = seal_words(reached or b"")
        return f"Line {proof.line} does not stand: line and proof lead to the seal {seal}, the {point.said} has {seal_words(point.root)}"
    return None


# ==== registry/accessions/seal/findings.py, word for word ====

"""What a check of the whole register finds: the first thing that does not stand, in a sentence."""

import re
from collections import defaultdict
from collections.abc import Iterable, Sequence
from hashlib import sha256
from itertools import islice
from typing import Any, NamedTuple


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


# ==== the command ====


def main(arguments: list[str]) -> int:
    asked = _parser().parse_args(arguments)
    try:
        points = [*_from_files(asked.checkpoint), *_typed(asked.size, asked.root)]
        told = [
            _one_line(asked.lines, asked.proof, points) if asked.proof else _all_lines(asked.lines, points, asked.deep)
        ]
        told += [one for point in points for one in _signature(point, asked.key)]
    except (OSError, ValueError) as why:
        told = [(CANNOT_TELL, f"Cannot tell: {why}")]
    for _, sentence in told:
        print(sentence)
    return max((code for code, _ in told), key=[STANDS, CANNOT_TELL, BEHIND, FALLEN].index)


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("lines", type=Path, help="lines.jsonl, or line.json with its proof.txt")
    parser.add_argument("proof", type=Path, nargs="?")
    parser.add_argument("--checkpoint", type=Path, nargs="+", action="extend", default=[], metavar="FILE")
    parser.add_argument("--size")
    parser.add_argument("--root")
    parser.add_argument("--key", action="append", default=[], metavar="VKEY")
    parser.add_argument("--deep", action="store_true")
    return parser


def _from_files(files: list[Path]) -> Iterator[Checkpoint]:
    for file in files:
        try:
            yield from read_checkpoints(file.read_bytes().decode(), f"in {file.name}")
        except ValueError as why:
            raise ValueError(f"{file.name} is not a checkpoint: {why}") from None


def _typed(size: str | None, head: str | None) -> list[Checkpoint]:
    if size is None and head is None:
        return []
    if size is None or head is None:
        raise ValueError("a checkpoint typed by hand is --size and --root together")
    return [Checkpoint("", read_size(size), read_root(head), named="typed by hand")]


def _all_lines(file: Path, points: list[Checkpoint], deep: bool) -> tuple[int, str]:
    with file.open("rb") as rows:  # bytes are parted at LF only: a line may hold other signs that some call line ends
        found = check((Stored(n, row.removesuffix(b"\n")) for n, row in enumerate(rows, 1)), points, deep)
    if points or found.code:
        return found.code, found.sentence
    return (
        CANNOT_TELL,
        f"Cannot tell: {found.size} lines follow one another, but no checkpoint was given to hold them against",
    )


def _one_line(file: Path, proof_file: Path, points: list[Checkpoint]) -> tuple[int, str]:
    raw = file.read_bytes().removesuffix(b"\n")
    try:
        proof = read_proof(proof_file.read_bytes().decode())
    except ValueError as why:
        raise ValueError(f"{proof_file.name} is not a proof: {why}") from None
    if not any(point.size == proof.size for point in points):
        return (
            CANNOT_TELL,
            f"Cannot tell: the proof leads to the head of {proof.size} lines, and no checkpoint given is of this size",
        )
    for point in points:
        fault = certificate_fault(raw, proof, point) if point.size == proof.size else None
        if fault:
            return FALLEN, fault
    return STANDS, f"Line {proof.line} stands: it is one of the {proof.size} lines that the checkpoint saw"


def _signature(point: Checkpoint, keys: list[str]) -> list[tuple[int, str]]:
    if not keys:
        unread = f"The {point.said}: signature not checked, no --key was given"
        return [(STANDS, unread)] if point.signatures else []
    try:
        held = [is_signed(point.body, point.signatures, key) for key in keys]
    except ImportError:
        return [(CANNOT_TELL, f"The {point.said}: signature not checked, the Python package cryptography is not here")]
    if False in held:
        return [(FALLEN, f"The {point.said}: the signature does not hold")]
    if True in held:
        return [(STANDS, f"The {point.said} is signed by {read_key(keys[held.index(True)])[0]}")]
    return [(CANNOT_TELL, f"The {point.said} carries no signature by the key given")]


if __name__ == "__main__":
    sys.stdout.reconfigure(errors="backslashreplace")  # type: ignore[union-attr]
    raise SystemExit(main(sys.argv[1:]))
