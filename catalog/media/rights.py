"""Rights in a picture, a text or a data set: one address each, a closed list. Pure.

Addresses exactly as their publishers write them (with http): Creative Commons, https://creativecommons.org/licenses/;
RightsStatements.org 1.0, whose statements are no licences. From memory.
"""

from __future__ import annotations

RIGHTS: list[tuple[str, str]] = [
    ("http://creativecommons.org/licenses/by/4.0/", "CC BY 4.0: free to use, with our name"),
    ("http://creativecommons.org/publicdomain/zero/1.0/", "CC0: free to use"),
    ("http://rightsstatements.org/vocab/InC/1.0/", "In copyright"),
    ("http://rightsstatements.org/vocab/NoC-NC/1.0/", "No copyright, not for trade"),
    ("http://rightsstatements.org/vocab/CNE/1.0/", "Copyright not examined"),
    ("http://rightsstatements.org/vocab/UND/1.0/", "Copyright not settled"),
]
_WORDS = dict(RIGHTS)
_SHORT = {"CC BY 4.0": RIGHTS[0][0], "CC0": RIGHTS[1][0], "CC0 1.0": RIGHTS[1][0]}


def rights_words(address: str) -> str:
    """The statement in words; the address itself where it is not on the list."""
    return _WORDS.get(address, address)


def address_of(said: str) -> str:
    """The address for a short name such as `CC BY 4.0`; what else was said stays as it is."""
    return _SHORT.get(said.strip(), said.strip())


def is_licence(address: str) -> bool:
    """A statement of RightsStatements.org allows nothing; a Creative Commons address does."""
    return address.startswith("http://creativecommons.org/")
