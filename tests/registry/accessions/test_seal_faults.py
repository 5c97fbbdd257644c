"""What a check says of a register that was changed behind its back: one test for each way of doing it."""

from collections.abc import Iterable
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from registry.accessions.seal import (
    BEHIND,
    CANNOT_TELL,
    FALLEN,
    STANDS,
    Checkpoint,
    Stored,
    Tree,
    canonical,
    certificate_fault,
    check,
    checkpoint_body,
    column_fault,
    first_fault,
    leaf,
    proof_text,
    read_checkpoint,
    read_line,
    read_proof,
)
from tests.outside.sealed_lines import CHECKPOINT, HEADS, LEAVES, LINES, ORIGIN

KEPT = [Stored(n, *kept) for n, kept in enumerate(zip(LINES, LEAVES, HEADS, strict=True), 1)]


def line(n: int, kind: str, **members: Any) -> bytes:
    at = "2026-03-02T08:00:00Z"
    return canonical({"v": 1, "register": ORIGIN, "line": n, "kind": kind, "at": at, "by": "p1", **members})


def opened(*numbered: str, year: int = 2026) -> list[bytes]:
    """A register opened in that year, then one line for each `kind number`."""
    first = line(1, "opening", collection="TH", title="Tarn Holm", at=f"{year}-03-02T08:00:00Z")
    rows = [one.rsplit(" ", 1) for one in numbered]
    return [first, *(line(n, kind, number=f"TH {number}") for n, (kind, number) in enumerate(rows, 2))]


def sealed(raws: Iterable[bytes]) -> list[Stored]:
    """Everything computed anew, as somebody with a database tool and time would do it."""
    rows = list(raws)
    tree = Tree(map(leaf, rows))
    return [Stored(n, raw, leaf(raw), tree.root(n)) for n, raw in enumerate(rows, 1)]


def seen(kept: list[Stored], size: int, named: str = "") -> Checkpoint:
    head = Tree(one.leaf or b"" for one in kept).root(size)
    return read_checkpoint(checkpoint_body(ORIGIN, size, head), named)


LONG = sealed(opened(*(f"accession 2026.{n}" for n in range(1, 412))))


def altered(kept: list[Stored], n: int, **changes: Any) -> list[Stored]:
    """Line n with other members, and leaves and heads computed anew."""
    raws = [one.raw for one in kept]
    raws[n - 1] = canonical({**read_line(raws[n - 1]), **changes})
    return sealed(raws)


# ---- what stands


def test_an_untouched_register_stands() -> None:
    for deep in (False, True):
        assert first_fault(KEPT, deep=deep) is None
        assert first_fault(LONG, [seen(LONG, 377), seen(LONG, 412)], deep) is None
    found = check(KEPT, [read_checkpoint(CHECKPOINT, "of 9 April")])
    assert found == (STANDS, found.sentence, 6, HEADS[5])
    assert found.sentence == (
        "6 lines stand and agree with the checkpoint of 9 April (size 5); no checkpoint has seen lines 6-6 yet"
    )


def test_an_empty_register_stands_and_has_the_empty_head() -> None:
    assert check([]).code == STANDS
    assert first_fault([], [seen(KEPT, 5)]) == "Register has 0 lines, a checkpoint saw 5: behind its checkpoint"


# ---- bytes, leaves, heads


def test_a_changed_byte_names_its_line() -> None:
    row = KEPT[2]
    raw = row.raw.replace(b'"412.60"', b'"412.61"')
    kept = [*KEPT[:2], row._replace(raw=raw), *KEPT[3:]]
    assert first_fault(kept) == (
        f"Line 3 does not stand: its bytes give leaf {leaf(raw).hex()}, the register holds {LEAVES[2].hex()}; "
        "lines 1-2 and 4-6 agree with their leaves"
    )


@pytest.mark.parametrize("n", range(1, 7))
def test_any_flipped_bit_is_named(n: int) -> None:
    row = KEPT[n - 1]
    for bit in range(8 * len(row.raw)):
        raw = bytearray(row.raw)
        raw[bit // 8] ^= 1 << bit % 8
        said = first_fault([*KEPT[: n - 1], row._replace(raw=bytes(raw)), *KEPT[n:]])
        assert said is not None
        assert said.startswith(f"Line {n} does not stand"), (bit, said)


@pytest.mark.parametrize("n", range(1, 7))
def test_any_flipped_bit_of_bytes_alone_is_found_against_the_checkpoint(n: int) -> None:
    """As in `lines.jsonl`, which holds no leaves to name a line by."""
    point = [seen(KEPT, 6)]
    rows = [Stored(place, raw) for place, raw in enumerate(LINES, 1)]
    assert check(rows, point).code == STANDS
    for bit in range(8 * len(LINES[n - 1])):
        raw = bytearray(LINES[n - 1])
        raw[bit // 8] ^= 1 << bit % 8
        assert check([*rows[: n - 1], Stored(n, bytes(raw)), *rows[n:]], point).code == FALLEN


def test_changed_leaves_and_heads_alone_are_named() -> None:
    said = first_fault([*KEPT[:3], KEPT[3]._replace(leaf=LEAVES[2]), *KEPT[4:]])
    assert said
    assert said.startswith("Line 4 does not stand")
    assert said.endswith("lines 1-3 and 5-6 agree with their leaves")
    last = [*KEPT[:5], KEPT[5]._replace(head=HEADS[4])]
    assert first_fault(last) == "Line 6: head differs from here on"
    middle = [*KEPT[:2], KEPT[2]._replace(head=HEADS[4]), *KEPT[3:]]
    assert first_fault(middle, deep=True) == "Line 3: head differs; lines 4-6 after it agree with theirs"


def test_several_changed_lines_are_counted() -> None:
    kept = [one._replace(raw=one.raw + b" ") if one.line in (2, 5) else one for one in LONG]
    assert str(first_fault(kept)).endswith("; lines 1, 3-4 and 6-412 agree with their leaves")
    kept = [one._replace(raw=one.raw + b" ") if one.line % 2 else one for one in LONG]
    assert str(first_fault(kept)).endswith("; 206 other lines agree with their leaves")


def test_line_and_leaf_changed_together_show_in_the_heads() -> None:
    raw = canonical({**read_line(LINES[2]), "mass_g": "999.99"})
    kept = [*KEPT[:2], KEPT[2]._replace(raw=raw, leaf=leaf(raw)), *KEPT[3:]]
    assert first_fault(kept) == "Line 3: head differs from here on"


# ---- order


def test_a_swapped_line_is_named_by_what_it_says_of_itself() -> None:
    raws = [one.raw for one in LONG]
    raws[2], raws[3] = raws[3], raws[2]
    assert first_fault(sealed(raws)) == "Line 3 says that it is line 4"
    rows = [*KEPT[:2], KEPT[3]._replace(line=3), KEPT[2]._replace(line=4), *KEPT[4:]]
    assert first_fault(rows) == "Line 3 says that it is line 4"


@pytest.mark.parametrize("n", [1, 2, 300, 301, 411])
def test_a_removed_line_leaves_the_next_out_of_place(n: int) -> None:
    raws = [one.raw for one in LONG]
    assert first_fault(sealed(raws[: n - 1] + raws[n:])) == f"Line {n} says that it is line {n + 1}"
    assert first_fault(LONG[: n - 1] + LONG[n:]) == f"Line {n} is not there: line {n + 1} stands in its place"


def test_an_inserted_and_a_renumbered_line_are_named() -> None:
    raws = [one.raw for one in LONG]
    assert first_fault(sealed([*raws[:300], raws[9], *raws[300:]])) == "Line 301 says that it is line 10"
    assert first_fault(altered(LONG, 305, line=9)) == "Line 305 says that it is line 9"
    assert first_fault(altered(LONG, 305, line="305")) == "Line 305 says that it is line 305"


def test_a_line_of_another_register_is_named() -> None:
    assert first_fault(altered(LONG, 7, register="casts.example/XX"), deep=True) == (
        "Line 7 is of casts.example/XX, line 1 is of casts.example/TH"
    )


def test_bytes_that_are_no_line_are_named() -> None:
    for raw in (b"", b"{}", b"\xff", b"[" * 100_000, LINES[2].replace(b'"v":1', b'"v":1.0'), LINES[2] + b"\n"):
        kept = sealed([*LINES[:2], raw, *LINES[3:]])
        assert str(first_fault(kept, deep=True)).startswith(
            ("Line 3 cannot be read", "Line 3 says that it is line None")
        )


# ---- numbers


def test_a_number_without_a_line_is_named() -> None:
    raws = opened(*(f"accession 2026.{n}" for n in range(1, 400) if n != 7))
    assert first_fault(sealed(raws)) == "2026.7 has no line (accession, transcribed or void)"


def test_accession_transcribed_and_void_fill_a_year_between_them() -> None:
    raws = opened("accession 2026.4", "transcribed 2026.1", "void 2026.3", "accession 2026.2", "accession 2027.1")
    assert first_fault(sealed(raws)) is None
    raws = opened("accession 2026.1", "correction 2026.2", "deaccession 2026.2", "accession 2026.3")
    assert first_fault(sealed(raws)) == "2026.2 has no line (accession, transcribed or void)"


def test_a_paper_register_may_have_gaps_but_no_doubles() -> None:
    assert first_fault(sealed(opened("transcribed 2011.3", "transcribed 2011.9", "transcribed 2025.2"))) is None
    raws = opened("transcribed 2011.3", "accession 2026.1", "transcribed 2011.3")
    assert first_fault(sealed(raws)) == "2011.3 stands twice, in lines 2 and 4"


def test_the_first_double_is_named_and_the_first_opening_counts() -> None:
    raws = opened("accession 2026.1", "accession 2026.1", "accession 2026.2", "accession 2026.2")
    assert first_fault(sealed(raws)) == "2026.1 stands twice, in lines 2 and 3"
    raws = [*opened("accession 2026.2"), line(3, "opening", at="2028-01-01T00:00:00Z")]
    assert first_fault(sealed(raws)) == "2026.1 has no line (accession, transcribed or void)"


def test_a_number_of_absurd_length_does_not_stop_the_check() -> None:
    assert first_fault(sealed(opened("accession 2026.1", "accession 2026." + "9" * 5000))) is None
    assert str(first_fault(altered(LONG, 9, line=None))).startswith("Line 9 says")
    raw = LONG[8].raw.replace(b'"line":9,', b'"line":' + b"9" * 5000 + b",")
    assert str(first_fault(sealed([*(one.raw for one in LONG[:8]), raw]))).startswith("Line 9 cannot be read")


@pytest.mark.parametrize("kind", ["accession", "transcribed", "void"])
def test_a_number_never_comes_back(kind: str) -> None:
    raws = opened("accession 2026.1", "void 2026.2", f"{kind} 2026.2")
    assert first_fault(sealed(raws)) == "2026.2 stands twice, in lines 3 and 4"


def test_numbers_of_another_pattern_are_still_given_once() -> None:
    assert first_fault(sealed(opened("accession 2026/1", "accession 2026/3", "accession A7"))) is None
    assert first_fault(sealed(opened("accession A7", "accession A7"))) == "A7 stands twice, in lines 2 and 3"
    assert first_fault(sealed(opened("accession 2026.0", "accession 2026.1", "accession 2026.12a"))) is None


NUMBERED = st.tuples(
    st.sampled_from(["accession", "transcribed", "void", "correction"]), st.integers(2025, 2027), st.integers(1, 6)
)


@given(st.lists(NUMBERED, max_size=15), st.booleans())
def test_glancing_and_full_reading_find_the_same(rows: list[tuple[str, int, int]], swap: bool) -> None:
    raws = opened(*(f"{kind} {year}.{n}" for kind, year, n in rows))
    if swap and len(raws) > 2:
        raws[1], raws[-1] = raws[-1], raws[1]
    kept = sealed(raws)
    assert first_fault(kept) == first_fault(kept, deep=True)


@given(st.lists(NUMBERED, max_size=15))
def test_numbers_are_faulted_exactly_where_counting_by_hand_faults_them(rows: list[tuple[str, int, int]]) -> None:
    used = [(year, n) for kind, year, n in rows if kind != "correction"]
    doubled = len(set(used)) < len(used)
    gap = any(
        sorted({n for y, n in used if y == year}) != list(range(1, len({n for y, n in used if y == year}) + 1))
        for year in (2026, 2027)
    )
    said = first_fault(sealed(opened(*(f"{kind} {year}.{n}" for kind, year, n in rows))))
    assert (said is not None) == (doubled or gap)
    assert ("stands twice" in (said or "")) == doubled


# ---- checkpoints


def test_a_rewritten_register_fails_its_checkpoint() -> None:
    points = [seen(LONG, 377, "of 2 April"), seen(LONG, 412, "of 9 April"), seen(LONG, 100)]
    for n in (378, 412):
        assert first_fault(altered(LONG, n, by="p2"), points) == (
            "Lines agree with each other but not with the checkpoint of 9 April (size 412); "
            "they agree with that of 2 April (size 377): altered between 378 and 412"
        )
    assert first_fault(altered(LONG, 1, by="p2"), points) == (
        "Lines agree with each other but not with the checkpoint of size 100: altered between 1 and 100"
    )
    assert first_fault(altered(LONG, 378, by="p2")) is None  # without a checkpoint nothing can show it


def test_any_rewritten_line_fails_a_later_checkpoint() -> None:
    point = [seen(KEPT, 6)]
    for n in range(1, 7):
        assert check(altered(KEPT, n, at="2026-03-02T08:00:01Z"), point).code == FALLEN


def test_a_short_register_is_behind() -> None:
    found = check(LONG[:409], [seen(LONG, 377), seen(LONG, 412)])
    assert (found.code, found.size) == (BEHIND, 409)
    assert found.sentence == "Register has 409 lines, a checkpoint saw 412: behind its checkpoint"
    assert "no checkpoint from outside" in check(LONG[:409]).sentence  # and without one nobody can tell


def test_a_seal_on_a_loan_agreement_is_a_checkpoint_too() -> None:
    paper = [Checkpoint("", 412, LONG[411].head[:6] if LONG[411].head else b"", named="on the loan agreement")]
    assert first_fault(LONG, paper) is None
    assert check(altered(LONG, 300, by="p2"), paper).code == FALLEN


def test_a_checkpoint_of_another_register_tells_nothing() -> None:
    point = read_checkpoint(checkpoint_body("casts.example/XX", 412, LONG[411].head or b""))
    found = check(LONG, [point])
    assert found.code == CANNOT_TELL
    assert found.sentence == "The checkpoint of size 412 is of casts.example/XX, the lines are of casts.example/TH"


def test_two_checkpoints_that_exclude_each_other_are_not_of_one_register() -> None:
    other = altered(LONG, 300, by="p2")
    said = first_fault(LONG, [seen(LONG, 412, "of Fennevik"), seen(other, 412, "of the museum")])
    assert said == (
        "Lines agree with each other but not with the checkpoint of the museum (size 412), "
        "though they agree with the checkpoint of Fennevik (size 412): the two are not of one register"
    )
    assert check([], [Checkpoint(ORIGIN, 0, bytes(32))]).code == FALLEN


# ---- restored from a backup, then went on


def went_on(abandons: dict[str, Any] | None) -> list[Stored]:
    """400 lines came back from the backup; line 401 says so; ten accessions follow."""
    raws = [one.raw for one in LONG[:400]]
    if abandons:
        raws.append(line(401, "restored", archive="a1", abandons=abandons))
    raws += [
        line(n, "accession", number=f"TH 2026.{n - 1 - bool(abandons)}", by="p2") for n in range(len(raws) + 1, 416)
    ]
    return sealed(raws)


def test_a_fork_is_named() -> None:
    point = seen(LONG, 412, "of 9 April")
    kept = went_on({"size": 412, "root": point.root.hex()})
    assert first_fault(kept, [seen(LONG, 377), point]) is None
    assert check(kept, [seen(LONG, 377), point]).sentence.endswith(
        "; forked after line 400 at the latest; explained by line 401 (restored)"
    )
    assert first_fault(kept[:405], [point]) is None  # shorter than the checkpoint, but it says why
    unknown = seen(LONG, 410, "of 8 April")
    assert first_fault(kept, [seen(LONG, 377), unknown, point]) == (
        "Forked after line 400 at the latest; "
        "not explained: no restored line names the checkpoint of 8 April (size 410)"
    )


def test_a_fork_that_no_line_owns_up_to_is_an_alteration() -> None:
    points = [seen(LONG, 377), seen(LONG, 412)]
    assert str(first_fault(went_on(None), points)).endswith("altered between 378 and 412")
    other = went_on({"size": 412, "root": "00" * 32})
    assert "not explained" in str(first_fault(other, points))


def test_a_restored_line_explains_nothing_that_was_altered_after_it() -> None:
    kept = went_on({"size": 412, "root": seen(LONG, 412).root.hex()})
    later = seen(kept, 415, "of 20 April")
    said = first_fault(altered(kept, 410, by="p3"), [seen(LONG, 377), seen(kept, 405), later])
    assert said == (
        "Lines agree with each other but not with the checkpoint of 20 April (size 415); "
        "they agree with that of size 405: altered between 406 and 415"
    )


def test_a_restored_line_that_names_nothing_useful_is_no_explanation() -> None:
    for abandons in (None, "x", {"size": 412}, {"size": "412", "root": seen(LONG, 412).root.hex()}):
        raws = [*(one.raw for one in LONG[:400]), line(401, "restored", abandons=abandons)]
        assert check(sealed(raws), [seen(LONG, 412)]).code == BEHIND


# ---- columns beside the bytes


def test_a_changed_column_is_named_with_what_is_sealed() -> None:
    shown = {"line": 3, "kind": "accession", "number": "2026.1", "mass_g": "412.60", "corrects": ""}
    assert column_fault(LINES[2], shown) is None
    assert column_fault(LINES[2], {**shown, "number": "TH 2026.1"}) is None
    assert column_fault(LINES[2], {**shown, "number": "2026.9"}) == "Line 3: number shown 2026.9, sealed 2026.1"
    assert (
        column_fault(LINES[2], {**shown, "number": "XX 2026.1"}) == "Line 3: number shown XX 2026.1, sealed TH 2026.1"
    )
    assert column_fault(LINES[2], {"line": 4}) == "Line 4: line shown 4, sealed 3"
    assert column_fault(LINES[2], {"line": 3, "corrects": 2}) == "Line 3: corrects shown 2, sealed None"
    assert str(column_fault(LINES[2][1:], {"line": 3})).startswith("Line 3 cannot be read")


def test_an_instant_is_compared_as_it_is_sealed() -> None:
    from datetime import datetime
    from zoneinfo import ZoneInfo

    at = datetime(2026, 3, 5, 11, 2, 11, tzinfo=ZoneInfo("Europe/Oslo"))
    assert column_fault(LINES[2], {"at": at}) is None
    assert column_fault(LINES[2], {"at": at.replace(minute=3)}) == (
        "Line 3: at shown 2026-03-05T10:03:11Z, sealed 2026-03-05T10:02:11Z"
    )


# ---- one line with its certificate

POINT = read_checkpoint(CHECKPOINT)
PROOF = proof_text(3, 5, Tree(LEAVES).inclusion(2, 5))


def test_the_proof_reads_back_also_as_typed_from_paper() -> None:
    proof = read_proof(PROOF)
    assert (f"line 3\nsize 5\nright {LEAVES[3].hex()}\nleft {HEADS[1].hex()}\nright {LEAVES[4].hex()}\n") == PROOF
    assert [hash for _, hash in proof.steps] == Tree(LEAVES).inclusion(2, 5)
    typed = PROOF.upper().replace(
        LEAVES[3].hex().upper(), " ".join(LEAVES[3].hex()[i : i + 4] for i in range(0, 64, 4))
    )
    assert read_proof(f"\r\n{typed}\n\n") == proof
    assert certificate_fault(LINES[2], proof, POINT) is None


@pytest.mark.parametrize(
    "text", ["", "line 3", "size 5\nline 3", "line 3\nsize x", PROOF + "up 00", PROOF[:-2], PROOF + "left"]
)
def test_what_is_no_proof_is_not_read(text: str) -> None:
    with pytest.raises(ValueError):
        read_proof(text)


def test_every_line_of_every_size_has_a_certificate_that_stands() -> None:
    tree = Tree(LEAVES)
    for size in range(1, 7):
        point = seen(KEPT, size)
        for n in range(1, size + 1):
            proof = read_proof(proof_text(n, size, tree.inclusion(n - 1, size)))
            assert certificate_fault(LINES[n - 1], proof, point) is None


def test_a_certificate_that_does_not_hold_together_says_where() -> None:
    proof = read_proof(PROOF)
    changed = LINES[2].replace(b"412.60", b"412.61")
    assert str(certificate_fault(changed, proof, POINT)).startswith("Line 3 does not stand")
    assert "says that it is line 4" in str(certificate_fault(LINES[3], proof, POINT))
    assert "cannot be read" in str(certificate_fault(LINES[2] + b" ", proof, POINT))
    assert "is of casts.example/TH" in str(certificate_fault(LINES[2], proof, POINT._replace(origin="x")))
    assert "leads to the head of 5 lines" in str(certificate_fault(LINES[2], proof, seen(KEPT, 6)))
    beyond = proof._replace(size=2, steps=[("left", LEAVES[0])])
    assert "steps" in str(certificate_fault(LINES[2], beyond, seen(KEPT, 2)))
    assert "seal" in str(certificate_fault(LINES[2], proof, POINT._replace(root=HEADS[5])))
    flipped = [("left" if side == "right" else "right", hash) for side, hash in proof.steps]
    for steps in (flipped, proof.steps[:2], [*proof.steps, proof.steps[0]]):
        assert "steps" in str(certificate_fault(LINES[2], proof._replace(steps=steps), POINT))
    swapped = [proof.steps[2], proof.steps[1], proof.steps[0]]
    assert "does not stand" in str(certificate_fault(LINES[2], proof._replace(steps=swapped), POINT))


# ---- the second tree, of acts


def test_entries_of_another_tree_are_checked_without_being_read_as_lines() -> None:
    raws = [canonical({"act": f"a{n}", "records": [["u", n, "ff"]]}, levels=2) for n in range(700)]
    kept = sealed(raws)
    assert check(kept, [], register=False).code == STANDS
    raw = canonical({"act": "a5", "records": [["u", 6, "ff"]]}, levels=2)
    assert check([*kept[:5], kept[5]._replace(raw=raw), *kept[6:]], register=False).sentence.startswith(
        "Line 6 does not stand"
    )
