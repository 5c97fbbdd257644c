"""The sealed register against published vectors and two reference libraries (`rfc8785` 0.1.4, `pymerkle` 7.0.0).

Sources: RFC 8785 and the test data of its author (cyberphone/json-canonicalization); RFC 9162 section 2.1 and the
vectors of the transparency-dev suite; C2SP signed-note and tlog-checkpoint; RFC 8032 section 7.1.
"""

import base64
import hashlib
import json
from collections.abc import Callable
from typing import Any

import pytest
import rfc8785
from hypothesis import given
from hypothesis import strategies as st
from pymerkle import InmemoryTree

from registry.accessions import seal
from tests.outside.sealed_lines import CHECKPOINT, HEADS, KEY, LEAVES, LENGTHS, LINES, ORIGIN, PUBLIC, SECRET

# ---- canonical bytes: RFC 8785

AUTHORS_DATA = {  # the six inputs of the author's test data, and the start of the SHA-256 of his outputs
    "arrays": ('[56, {"d": true, "10": null, "1": []}]', "099601b1"),
    "french": (
        '{"peach": "This sorting order", "péché": "is wrong according to French", '
        '"pêche": "but canonicalization MUST", "sin": "ignore locale"}',
        "d99d0ebd",
    ),
    "structures": (
        '{"1": {"f": {"f": "hi", "F": 5}, "\\n": 56.0}, "10": {}, "": "empty", "a": {}, '
        '"111": [{"e": "yes", "E": "no"}], "A": {}}',
        "605f6500",
    ),
    "unicode": ('{"Unnormalized Unicode": "A\\u030a"}', "0d99aad9"),
    "values": (
        '{"numbers": [333333333.33333329, 1E30, 4.50, 2e-3, 0.000000000000000000000000001], '
        '"string": "\\u20ac$\\u000F\\u000aA\'\\u0042\\u0022\\u005c\\\\\\"\\/", "literals": [null, true, false]}',
        "2d5e01a3",
    ),
    "weird": (
        '{"\\u20ac": "Euro Sign", "\\r": "Carriage Return", "\\u000a": "Newline", "1": "One", '
        '"\\u0080": "Control\\u007f", "\\ud83d\\ude02": "Smiley", "\\u00f6": "Latin Small Letter O With Diaeresis", '
        '"\\ufb33": "Hebrew Letter Dalet With Dagesh", "</script>": "Browser Challenge"}',
        "6af595a9",
    ),
}


@pytest.mark.parametrize("name", AUTHORS_DATA)
def test_the_reference_library_gives_the_authors_outputs(name: str) -> None:
    text, start = AUTHORS_DATA[name]
    assert hashlib.sha256(rfc8785.dumps(json.loads(text))).hexdigest().startswith(start)


def test_the_authors_structures_without_their_float_come_out_as_he_prints_them() -> None:
    text = AUTHORS_DATA["structures"][0].replace("56.0", "56")
    printed = '{"":"empty","1":{"\\n":56,"f":{"F":5,"f":"hi"}},"10":{},"111":[{"E":"no","e":"yes"}],"A":{},"a":{}}'
    assert seal.canonical(json.loads(text), levels=2) == printed.encode()


@pytest.mark.parametrize("name", ["arrays", "french", "unicode", "values", "weird"])
def test_what_a_line_never_holds_is_refused_rather_than_spelt_otherwise(name: str) -> None:
    """No array on top, no names outside ASCII, no text apart from NFC, no floats, no true and false."""
    with pytest.raises(ValueError):
        seal.canonical(json.loads(AUTHORS_DATA[name][0]), levels=3)


TEXTS = st.text(st.characters(exclude_categories=["Cs"])).filter(lambda text: seal_text(text) is not None)
VALUES = st.none() | TEXTS | st.integers(-(2**53) + 1, 2**53 - 1)
NAMES = st.text(st.characters(max_codepoint=127), max_size=12)


def seal_text(text: str) -> bytes | None:
    try:
        return seal.canonical({"t": text})
    except ValueError:
        return None


@given(st.dictionaries(NAMES, VALUES | st.dictionaries(NAMES, VALUES) | st.lists(VALUES)))
def test_any_line_has_the_bytes_of_the_reference_library_and_reads_back(members: dict[str, Any]) -> None:
    raw = seal.canonical(members)
    assert raw == rfc8785.dumps(members)
    assert seal.read_line(raw) == members


@given(st.dictionaries(NAMES, st.lists(st.lists(VALUES))))
def test_entries_of_the_acts_tree_go_one_level_deeper(members: dict[str, Any]) -> None:
    assert seal.canonical(members, levels=2) == rfc8785.dumps(members)


REFUSED = {
    "a float": 1.5,
    "a whole float": 2.0,
    "not a number": float("nan"),
    "true": True,
    "bytes": b"x",
    "too large": 2**53,
    "too small": -(2**53),
    "half a surrogate pair": "\ud83d",
    "not NFC": "A\u030a",
    "two levels": {"a": {"b": 1}},
    "a list within": {"a": ["b"]},
    "a name outside ASCII": {"é": 1},
    "a name that is a number": {1: "a"},
    "a float within": {"a": 0.1},
}


@pytest.mark.parametrize("what", REFUSED)
def test_before_sealing_it_refuses(what: str) -> None:
    with pytest.raises(ValueError, match=r"^line\.field"):
        seal.canonical({"field": REFUSED[what]})


def test_the_largest_integers_and_the_reference_agree() -> None:
    assert seal.canonical({"n": 2**53 - 1}) == b'{"n":9007199254740991}' == rfc8785.dumps({"n": 2**53 - 1})
    with pytest.raises(rfc8785.IntegerDomainError):
        rfc8785.dumps({"n": 2**53})


@pytest.mark.parametrize(
    "raw",
    [
        *(b'{"a":1,"a":1}', b'{"b":1,"a":2}', b'{"a": 1}', b'{"a":1}\n', b'\xef\xbb\xbf{"a":1}', b'{"a":1.0}'),
        *(b'{"a":"\\u0041"}', b'{"a":NaN}', b'{"a":"\xff"}', b"[]", b"", b"{}{}", b'{"a":true}', b'{"a":01}'),
        *(b'{"a":"A\xcc\x8a"}', b'{"a":"\\ud83d"}', b'{"a":{"b":{}}}', b"[" * 100_000, b'{"a":' * 100_000),
        *(b'{"a":' + b"9" * 5000 + b"}", '{"a":1}'.encode("utf-16")),
    ],
)
def test_bytes_that_are_not_the_one_spelling_are_not_read(raw: bytes) -> None:
    with pytest.raises(ValueError):
        seal.read_line(raw)


def test_bytes_as_postgresql_hands_them_out_are_read() -> None:
    assert seal.read_line(memoryview(LINES[2])) == seal.read_line(LINES[2])  # type: ignore[arg-type]


# ---- the register of Tarn Holm


def test_line_vectors() -> None:
    assert [len(raw) for raw in LINES] == LENGTHS
    for raw in LINES:
        members = json.loads(raw)
        assert seal.canonical(members) == raw == rfc8785.dumps(members)
        assert seal.read_line(raw) == members
    assert [seal.leaf(raw) for raw in LINES] == LEAVES
    frontier: list[bytes] = []
    for size, (leaf, head) in enumerate(zip(LEAVES, HEADS, strict=True)):
        frontier = seal.append(frontier, size, leaf)
        assert seal.root_of(frontier) == head == seal.root(LEAVES[: size + 1]) == seal.Tree(LEAVES).root(size + 1)
    tree = InmemoryTree()
    tree.append_entries(LINES)
    assert [tree.get_root(size) for size in range(1, 7)] == HEADS


def test_proof_vectors() -> None:
    tree = seal.Tree(LEAVES)
    assert tree.inclusion(2, 5) == [LEAVES[3], HEADS[1], LEAVES[4]]
    assert seal.sides(2, 5) == ["right", "left", "right"]
    assert tree.consistency(3, 5) == [LEAVES[2], LEAVES[3], HEADS[1], LEAVES[4]]
    assert tree.consistency(5, 6) == [LEAVES[4], LEAVES[5], HEADS[3]]
    assert seal.is_included(LEAVES[2], 2, 5, tree.inclusion(2, 5), HEADS[4])
    assert seal.is_consistent(3, HEADS[2], 5, HEADS[4], tree.consistency(3, 5))
    assert seal.is_consistent(5, HEADS[4], 6, HEADS[5], tree.consistency(5, 6))


def test_the_giver_is_bound_but_not_named() -> None:
    salt = bytes(range(32))
    commit = seal.commit_of(salt, "gift of Marit Olde, the white house")
    assert commit == seal.read_line(LINES[2])["from_commit"]
    assert commit != seal.commit_of(salt, "gift of Marit Olde, the white house ")
    with pytest.raises(ValueError):
        seal.commit_of(salt[:31], "gift")


def test_no_flipped_bit_of_line_3_leaves_the_root() -> None:
    proof = seal.Tree(LEAVES).inclusion(2, 5)
    for bit in range(8 * len(LINES[2])):
        raw = bytearray(LINES[2])
        raw[bit // 8] ^= 1 << bit % 8
        assert not seal.is_included(seal.leaf(bytes(raw)), 2, 5, proof, HEADS[4])


def test_the_seal_is_the_first_twelve_digits_of_the_head() -> None:
    assert seal.seal_words(HEADS[4]) == "b0c2 00e7 80f3"


# ---- the tree: RFC 9162 2.1, vectors of the transparency-dev suite

SUITE = [bytes.fromhex(one) for one in ("", "00", "10", "2021", "3031", "40414243", "5051525354555657")]
SUITE.append(bytes.fromhex("606162636465666768696a6b6c6d6e6f"))
SUITE_LEAVES = [hashlib.sha256(b"\0" + entry).digest() for entry in SUITE]
SUITE_ROOTS = [
    "6e340b9cffb37a989ca544e6bb780a2c78901d3fb33738768511a30617afa01d",
    "fac54203e7cc696cf0dfcb42c92a1d9dbaf70ad9e621f4bd8d98662f00e3c125",
    "aeb6bcfe274b70a14fb067a5e5578264db0fa9b51af5e0ba159158f329e06e77",
    "d37ee418976dd95753c1c73862b9398fa2a2cf9b4ff0fdfe8b30cd95209614b7",
    "4e3bbb1f7b478dcfe71fb631631519a3bca12c9aefca1612bfce4c13a86264d4",
    "76e67dadbcdf1e10e1b74ddc608abd2f98dfb16fbce75277b5232a127f2087ef",
    "ddb89be403809e325750d3d263cd78929c2942b7942a34b77e122c9594a74c8c",
    "5dc9da79a70659a9ad559cb701ded9a2ab9d823aad2f4960cfe370eff4604328",
]
D37E, FAC5 = SUITE_ROOTS[3], SUITE_ROOTS[1]
CA85 = "ca854ea128ed050b41b35ffc1b87b8eb2bde461e9e3b5596ece6b9d5975a0ae0"
BC1A = "bc1a0643b12e4d2d7c77918f44e0f4f79a838b6cf9ec5b5c283e1f4d88599e6b"
SUITE_5F08 = "5f083f0a1a33ca076a95279832580db3e0ef4584bdff1f54c8a360f50de3031e"


def test_hashers() -> None:
    assert seal.EMPTY.hex() == "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855"
    assert seal.root([]) == seal.root_of([]) == seal.EMPTY
    assert seal.leaf(b"").hex() == "6e340b9cffb37a989ca544e6bb780a2c78901d3fb33738768511a30617afa01d"
    assert seal.leaf(b"L123456").hex() == "395aa064aa4c29f7010acfe3f25db9485bbd4b91897b6ad7ad547639252b4d56"
    assert seal.node(b"N123", b"N456").hex() == "aa217fe888e47007fa15edab33c2b492a722cb106c64667fc2b044444de66bbb"


@pytest.mark.parametrize("size", range(1, 9))
def test_roots_of_the_suite(size: int) -> None:
    assert seal.root(SUITE_LEAVES[:size]).hex() == SUITE_ROOTS[size - 1]
    tree = InmemoryTree()
    tree.append_entries(SUITE[:size])
    assert tree.get_root().hex() == SUITE_ROOTS[size - 1]


@pytest.mark.parametrize(
    "index, size, proof",
    [
        (5, 8, [BC1A, CA85, D37E]),
        (
            *(0, 8),
            [
                "96a296d224f285c67bee93c30f8a309157f0daa35dc5b87e410b78630a09cfc7",
                SUITE_5F08,
                "6b47aaf29ee3c2af9af889bc1fb9254dabd31177f16232dd6aab035ca39bf6e4",
            ],
        ),
        (2, 3, [FAC5]),
    ],
)
def test_inclusion_proofs_of_the_suite(index: int, size: int, proof: list[str]) -> None:
    made = seal.Tree(SUITE_LEAVES).inclusion(index, size)
    assert [one.hex() for one in made] == proof
    assert seal.is_included(SUITE_LEAVES[index], index, size, made, bytes.fromhex(SUITE_ROOTS[size - 1]))


@pytest.mark.parametrize(
    "size1, size2, proof",
    [
        (6, 8, ["0ebc5d3437fbe2db158b9f126a1d118e308181031d0a949f8dededebc558ef6a", CA85, D37E]),
        (2, 5, [SUITE_5F08, BC1A]),
        (7, 7, []),
    ],
)
def test_consistency_proofs_of_the_suite(size1: int, size2: int, proof: list[str]) -> None:
    made = seal.Tree(SUITE_LEAVES).consistency(size1, size2)
    assert [one.hex() for one in made] == proof
    root1, root2 = (bytes.fromhex(SUITE_ROOTS[size - 1]) for size in (size1, size2))
    assert seal.is_consistent(size1, root1, size2, root2, made)


def by_definition(leaves: list[bytes]) -> bytes:
    """MTH of RFC 9162 2.1.1, as written there."""
    if len(leaves) == 1:
        return leaves[0]
    k = max(1 << n for n in range(len(leaves).bit_length()) if 1 << n < len(leaves))
    return hashlib.sha256(b"\1" + by_definition(leaves[:k]) + by_definition(leaves[k:])).digest()


def subproof(m: int, leaves: list[bytes], whole: bool) -> list[bytes]:
    """SUBPROOF of RFC 9162 2.1.4.1, as written there."""
    if m == len(leaves):
        return [] if whole else [by_definition(leaves)]
    k = max(1 << n for n in range(len(leaves).bit_length()) if 1 << n < len(leaves))
    if m <= k:
        return [*subproof(m, leaves[:k], whole), by_definition(leaves[k:])]
    return [*subproof(m - k, leaves[k:], False), by_definition(leaves[:k])]


ENTRIES = [str(n).encode() for n in range(32)]
MANY = [seal.leaf(entry) for entry in ENTRIES]


@pytest.mark.parametrize("size", range(1, 33))
def test_every_proof_of_every_size_agrees_with_the_references(size: int) -> None:
    tree, peer = seal.Tree(MANY[:size]), InmemoryTree()
    peer.append_entries(ENTRIES[:size])
    head = tree.root()
    assert head == by_definition(MANY[:size]) == peer.get_root()
    for index in range(size):
        proof = tree.inclusion(index)
        assert proof == peer.prove_inclusion(index + 1, size).path[1:]  # its path begins with the leaf itself
        assert seal.is_included(MANY[index], index, size, proof, head)
        assert len(seal.sides(index, size)) == len(proof)
    for size1 in range(1, size + 1):
        proof = tree.consistency(size1)
        assert proof == subproof(size1, MANY[:size], True)
        assert seal.is_consistent(size1, by_definition(MANY[:size1]), size, head, proof)


def test_one_line_at_a_time_gives_the_head_of_all_of_them() -> None:
    leaves = [seal.leaf(b"%d" % n) for n in range(130)]
    tree, frontier = seal.Tree(leaves), list[bytes]()
    for size, leaf in enumerate(leaves):
        frontier = seal.append(frontier, size, leaf)
        assert seal.root_of(frontier) == seal.root(leaves[: size + 1]) == tree.root(size + 1)
        assert frontier == tree.frontier(0, size + 1)
    with pytest.raises(ValueError):
        seal.append(frontier, 127, leaves[0])


@st.composite
def spoilt_hashes(draw: Callable[..., Any], proof: list[bytes]) -> list[bytes]:
    """The proof with one bit changed, two hashes swapped, one taken away, or one added."""
    how = draw(st.sampled_from(["bit", "swap", "shorter", "longer"] if proof else ["longer"]))
    spoilt, place = list(proof), draw(st.integers(0, max(0, len(proof) - 1)))
    if how == "bit":
        bit = draw(st.integers(0, 255))
        spoilt[place] = (int.from_bytes(spoilt[place], "big") ^ 1 << bit).to_bytes(32, "big")
    elif how == "swap":
        other = draw(st.integers(0, len(proof) - 1))
        spoilt[place], spoilt[other] = spoilt[other], spoilt[place]
    elif how == "shorter":
        del spoilt[place]
    else:
        spoilt.insert(draw(st.integers(0, len(proof))), draw(st.sampled_from([*proof, MANY[0], bytes(32)])))
    return spoilt


@given(st.data(), st.integers(1, 32))
def test_no_spoilt_proof_of_a_line_verifies(data: Any, size: int) -> None:
    index = data.draw(st.integers(0, size - 1))
    tree = seal.Tree(MANY[:size])
    proof = tree.inclusion(index)
    spoilt = data.draw(spoilt_hashes(proof))
    assert seal.is_included(MANY[index], index, size, spoilt, tree.root()) == (spoilt == proof)


@given(st.data(), st.integers(1, 32))
def test_no_spoilt_proof_between_two_checkpoints_verifies(data: Any, size2: int) -> None:
    size1 = data.draw(st.integers(1, size2))
    tree = seal.Tree(MANY[:size2])
    proof = tree.consistency(size1)
    spoilt = data.draw(spoilt_hashes(proof))
    assert seal.is_consistent(size1, tree.root(size1), size2, tree.root(), spoilt) == (spoilt == proof)


@given(st.integers(2, 32), st.data())
def test_a_rewritten_past_is_not_consistent(size2: int, data: Any) -> None:
    size1 = data.draw(st.integers(1, size2))
    changed = data.draw(st.integers(0, size1 - 1))
    other = seal.Tree([*MANY[:changed], seal.leaf(b"other"), *MANY[changed + 1 : size2]])
    root1 = seal.root(MANY[:size1])
    assert not seal.is_consistent(size1, root1, size2, other.root(), other.consistency(size1))


def test_what_no_proof_can_be_about_is_refused() -> None:
    head, proof = seal.root(MANY[:8]), seal.Tree(MANY[:8]).inclusion(5)
    assert not seal.is_included(MANY[5], 8, 8, proof, head)
    assert not seal.is_included(MANY[5], -1, 8, proof, head)
    assert not seal.is_included(MANY[5], 0, 0, [], head)
    assert not seal.is_included(MANY[5][:31], 5, 8, proof, head)
    assert not seal.is_included(MANY[0], 1, 1, [], MANY[0])
    assert not seal.is_included(MANY[5], 5, 8, [one.hex() for one in proof], head)  # type: ignore[misc]
    assert not seal.is_included(MANY[5], 5, 8, [*proof[:2], proof[2] + b"\0"], head)
    assert not seal.is_consistent(0, seal.EMPTY, 8, head, [])
    assert not seal.is_consistent(0, seal.EMPTY, 8, head, [head])
    assert not seal.is_consistent(9, head, 8, head, [])
    assert not seal.is_consistent(8, head, 8, MANY[0], [])
    assert not seal.is_consistent(8, b"short roots!", 8, b"short roots!", [])
    tree = seal.Tree(MANY[:8])
    for refused in (
        lambda: tree.inclusion(8),
        lambda: tree.consistency(0),
        lambda: tree.consistency(9),
        lambda: tree.root(9),
    ):
        with pytest.raises(ValueError, match=r"^there is no "):
            refused()


def test_a_proof_of_the_wrong_length_fails_even_where_its_sums_come_out() -> None:
    """Roots made up to fit: the number of steps alone says that they cannot be the heads of so many lines."""
    a, b, c = MANY[:3]
    assert not seal.is_included(a, 0, 8, [b], seal.node(a, b))
    assert not seal.is_included(a, 0, 1, [b], seal.node(b, a))
    assert not seal.is_consistent(2, a, 5, seal.node(a, b), [b])
    assert not seal.is_consistent(1, a, 5, a, [])
    tree = seal.Tree(MANY[:4])
    longer = [*tree.consistency(3), c]
    assert not seal.is_consistent(3, seal.node(c, tree.root(3)), 4, seal.node(c, tree.root(4)), longer)


# ---- checkpoints: C2SP signed-note and tlog-checkpoint, RFC 8032


def test_the_example_of_the_signed_note_standard_holds() -> None:
    key = "example.com/foo+530d903a+AekyeRrm56hApGFkyQR4ZCbV54Id2LKaANYcrnKv3U2k"
    signature = (
        "— example.com/foo Uw2QOkn8srV1yJGh2VYRlL1Tnagv1YEq6TfXppzi2ONncAlTgK7Ztg1ERYNZXsYjOBH3mFXmRKuwHjG1Yu72IneyaQM="
    )
    assert seal.is_signed("This is an example message.\n", [signature], key) is True
    assert seal.is_signed("This is an example message!\n", [signature], key) is False


def test_the_rfc_8032_key_signs_the_empty_message_as_printed() -> None:
    assert seal.public_of(SECRET) == PUBLIC
    coded = seal.sign("", SECRET, "a").removeprefix("\n— a ").rstrip("\n")
    assert base64.b64decode(coded)[4:].hex() == (
        "e5564300c360ac729086e2cc806e828a84877f1eb8e5d974d873e065224901555fb8821590a33bacc61e39701cf9b46bd25bf5f0595bbe24655141438e7a100b"
    )


def test_a_checkpoint_of_the_suites_eight_leaves() -> None:
    name, head = "casts.example/register", bytes.fromhex(SUITE_ROOTS[7])
    body = seal.checkpoint_body(name, 8, head)
    signed = seal.sign(body, SECRET, name)
    assert signed == body + (
        "\n— casts.example/register "
        "dptY/m2ft63jnaw1R9i8TdqkPd6xgAJLkZpNMeiYojs0IhWB8abrR6qvSYM3eiTKwJQeCCFR5ak57ubQM+AYsubiPwI=\n"
    )
    key = "casts.example/register+769b58fe+AddamAGCsQq31Uv+08lkBzoO4XLz2qYjJa8CGmj3B1Ea"
    assert seal.key_text(name, PUBLIC) == key
    assert seal.read_key(key) == (name, PUBLIC)
    point = seal.read_checkpoint(signed)
    assert point[:4] == (name, 8, head, body)
    assert seal.is_signed(point.body, point.signatures, key) is True


def test_the_checkpoint_of_tarn_holm() -> None:
    body = seal.checkpoint_body(ORIGIN, 5, HEADS[4])
    assert seal.sign(body, SECRET, ORIGIN) == CHECKPOINT
    assert seal.key_text(ORIGIN, PUBLIC) == KEY
    point = seal.read_checkpoint(CHECKPOINT)
    assert (point.origin, point.size, point.root) == (ORIGIN, 5, HEADS[4])
    assert seal.is_signed(point.body, point.signatures, KEY) is True
    assert seal.is_signed(point.body, (), KEY) is None
    assert seal.read_checkpoint(CHECKPOINT.replace("\n", "\r\n")) == point
    assert seal.read_checkpoint(body)[:3] == (ORIGIN, 5, HEADS[4])


def test_no_changed_letter_of_a_signed_checkpoint_passes() -> None:
    """Each letter in turn: it is not read, or it is not signed by this key, or the signature does not hold."""
    for place in range(len(CHECKPOINT) - 1):
        spoilt = CHECKPOINT[:place] + ("x" if CHECKPOINT[place] != "x" else "y") + CHECKPOINT[place + 1 :]
        try:
            point = seal.read_checkpoint(spoilt)
        except ValueError:
            continue
        assert seal.is_signed(point.body, point.signatures, KEY) is not True, place


def test_several_checkpoints_stand_in_one_file() -> None:
    bare = seal.checkpoint_body(ORIGIN, 3, HEADS[2])
    for text in (CHECKPOINT + bare, bare + "\n" + CHECKPOINT, CHECKPOINT + "\n\n" + bare + "\n" + CHECKPOINT):
        points = seal.read_checkpoints(text)
        assert {point.size for point in points} == {3, 5}
        assert all(seal.is_signed(point.body, point.signatures, KEY) for point in points if point.size == 5)
    with pytest.raises(ValueError):
        seal.read_checkpoint(CHECKPOINT + bare)


@pytest.mark.parametrize(
    "text",
    [
        *(
            "",
            "\n",
            "casts.example/TH\n5\n",
            "— a b\n",
            CHECKPOINT.replace("\n5\n", "\n05\n"),
            CHECKPOINT.replace("\n5\n", "\n-5\n"),
        ),
        *(
            CHECKPOINT.replace("QA=\n", "QB=\n"),
            CHECKPOINT.replace("sMIA", "sMI"),
            CHECKPOINT.replace("\n5\n", "\n٥\n"),
        ),
    ],
)
def test_a_text_that_is_no_checkpoint_is_not_read(text: str) -> None:
    with pytest.raises(ValueError):
        seal.read_checkpoints(text)


@pytest.mark.parametrize(
    "key", ["", KEY[:-2], KEY.replace("e868", "e869"), KEY.replace("TH+", "TX+"), "a+b+c", KEY.replace("+Ad", "+Bd")]
)
def test_a_key_that_disagrees_with_itself_is_not_read(key: str) -> None:
    with pytest.raises(ValueError):
        seal.read_key(key)


def test_a_key_or_root_of_another_length_is_not_used() -> None:
    longer = PUBLIC + b"x"
    key_id = hashlib.sha256(b"a\n\x01" + longer).hexdigest()[:8]
    with pytest.raises(ValueError):
        seal.read_key(f"a+{key_id}+{base64.b64encode(bytes([1]) + longer).decode()}")
    with pytest.raises(ValueError):
        seal.key_text("a", longer)
    with pytest.raises(ValueError):
        seal.checkpoint_body(ORIGIN, 5, HEADS[4][:31])


def test_a_name_with_a_space_or_plus_sign_is_not_used() -> None:
    for name in ("", "a b", "a+b", "a\nb"):
        with pytest.raises(ValueError):
            seal.checkpoint_body(name, 5, HEADS[4])
        with pytest.raises(ValueError):
            seal.sign("x\n", SECRET, name)
        with pytest.raises(ValueError):
            seal.key_text(name, PUBLIC)


def test_a_root_typed_from_paper_is_read_in_all_three_ways() -> None:
    assert seal.read_root("sMIA54DzfSSF/vn/UcUPFOm7zIH7Sak28ETxRQ1G0QA=") == HEADS[4]
    assert seal.read_root(HEADS[4].hex().upper()) == HEADS[4]
    assert seal.read_root(seal.seal_words(HEADS[4])) == HEADS[4][:6]
    for text in ("", "b0c2", "sMIA", "b0c2 00e7 80fg"):
        with pytest.raises(ValueError):
            seal.read_root(text)
