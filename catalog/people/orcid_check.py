"""Identifiers of people (ORCID) and bodies (ROR): read as copied, checked by form only, kept as https URI."""

import re

_ORCID = re.compile(
    r"(?:orcid:? *)?(?:https?://)?(?:www\.)?(?:orcid\.org/)?([0-9]{4})-?([0-9]{4})-?([0-9]{4})-?([0-9]{3}[0-9X])/?",
    re.IGNORECASE,
)
_ROR = re.compile(r"(?:ror:? *)?(?:https?://)?(?:www\.)?(?:ror\.org/)?(0[0-9a-z]{6}[0-9]{2})/?", re.IGNORECASE)
_BASE_32 = "0123456789abcdefghjkmnpqrstvwxyz"  # Crockford: no i, l, o, u


def read_orcid(text: str) -> str:
    """`0000-0002-1825-0097` in any usual writing -> `https://orcid.org/0000-0002-1825-0097`.

    The last character is ISO/IEC 7064 MOD 11-2 over the fifteen before it. ValueError: a sentence with what to write.
    """
    found = _ORCID.fullmatch(text.strip())
    if not found:
        raise ValueError("An ORCID is four groups of four figures. Write it such as 0000-0002-1825-0097.")
    number = "-".join(found.groups()).upper()
    if _mod_11_2(number.replace("-", "")[:15]) != number[-1]:
        raise ValueError(f"One figure of {number} differs from the ORCID that was given. Copy it again.")
    return f"https://orcid.org/{number}"


def _mod_11_2(figures: str) -> str:
    total = 0
    for figure in figures:
        total = (total + int(figure)) * 2 % 11
    check = (12 - total) % 11
    return "X" if check == 10 else str(check)


def read_ror(text: str) -> str:
    """`05dxps055` in any usual writing -> `https://ror.org/05dxps055`.

    The last two figures are ISO/IEC 7064 MOD 97-10 over the value of the seven before them in base 32 (Crockford).
    ValueError: a sentence with what to write.
    """
    found = _ROR.fullmatch(text.strip())
    if not found:
        raise ValueError(
            "A ROR is nine characters that begin with 0 and end in two figures. Write it such as 05dxps055."
        )
    name = found[1].lower()
    if any(character not in _BASE_32 for character in name):
        raise ValueError(f"A ROR has no i, l, o or u; {name} has one. Copy it again.")
    value = 0
    for character in name[:7]:
        value = value * 32 + _BASE_32.index(character)
    if 98 - value * 100 % 97 != int(name[7:]):
        raise ValueError(f"One character of {name} differs from the ROR that was given. Copy it again.")
    return f"https://ror.org/{name}"
