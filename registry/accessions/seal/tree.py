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
