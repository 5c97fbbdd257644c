"""What may be said of people, roles, tokens and the collection, and how long a wrong sign-in waits. No Django."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable
from functools import lru_cache
from zoneinfo import available_timezones

from catalog.ground import say
from catalog.ground.codes import code_address
from catalog.ground.refusal import Reason
from catalog.ground.roles import ACTS, KEEPER, REGISTRAR, ROLES
from catalog.people.orcid_check import read_orcid, read_ror
from catalog.people.said import CollectionSaid, OpeningSaid, PersonSaid

START_MINUTES = 15
RESET_MINUTES = 30
INVITATION_DAYS = 7
TOKEN_DAYS = {"tool": 365, "hand": 90}
VISIT_DAYS = 30
PASSWORD_LEAST, PASSWORD_MOST = 12, 1000

# wrong sign-ins
FREE_TRIES = 5
FIRST_WAIT_S, LONGEST_WAIT_S = 30, 900
NETWORK_MOST_AN_HOUR = 60
ACCOUNT_MOST_AN_HOUR = 30
UNKNOWN_LINKS_A_MINUTE = 10
RESETS_AN_HOUR = 10


def wait_s(n: int) -> int:
    """Seconds to wait after the nth wrong try from one corner: none for four, then 30, 60, 120 … up to 15 minutes."""
    if n < FREE_TRIES:
        return 0
    return int(min(LONGEST_WAIT_S, FIRST_WAIT_S * 2 ** min(n - FREE_TRIES, 10)))


def wait_words(seconds: float, n: int) -> str:
    """`Wait 30 seconds; five wrong tries.` The same for a name that exists and for one that does not."""
    whole = max(1, round(seconds))
    if whole < 60:
        span = say.plural(whole, "second", words=False)
    else:
        span = say.plural(-(-whole // 60), "minute", words=False)
    return f"Wait {span}; {say.number_word(n)} wrong tries."


def hinders_name(name: str, field: str = "name") -> list[Reason]:
    if not re.search(r"\w", name) or not name.isprintable():
        return [Reason("Write the name in letters, such as Imke Roodenburg.", field, said=name)]
    if len(name) > 150:
        return [Reason(f"Shorten the name to 150 letters; it has {len(name)}.", field)]
    return []


def hinders_person(said: PersonSaid) -> list[Reason]:
    reasons = hinders_name(said.name)
    if said.kind not in ("person", "body"):
        reasons.append(Reason("Say whether this is a person or a body.", "kind", said=said.kind))
    if said.kind == "body" and said.orcid:
        reasons.append(Reason("An ORCID names a person. A body has a ROR.", "orcid", said=said.orcid))
    if said.kind == "person" and said.ror:
        reasons.append(Reason("A ROR names a body. A person has an ORCID.", "ror", said=said.ror))
    for field, read in (("orcid", read_orcid), ("ror", read_ror)):
        if text := getattr(said, field):
            try:
                read(text)
            except ValueError as error:
                reasons.append(Reason(str(error), field, said=text))
    return reasons


# roles


def hinders_roles(roles: Collection[str]) -> list[Reason]:
    unknown = [r for r in roles if r not in ROLES]
    if unknown or not roles:
        return [Reason(f"Choose at least one of {say.listed(ROLES, 'or')}.", "roles", said=", ".join(unknown))]
    return []


def hinders_taking(own: bool, name: str, taken: Iterable[str], others_left: dict[str, int]) -> list[Reason]:
    """Why these roles cannot be taken from somebody: nobody changes their own, the last registrar and keeper stay."""
    if own:
        return [Reason("Nobody changes their own role. Another registrar or the keeper has to do it.", "roles")]
    return [
        Reason(f"{name} is the only {role} there is. Give the role to somebody else first.", "roles")
        for role in taken
        if role in (REGISTRAR, KEEPER) and not others_left.get(role)
    ]


def hinders_suspending(own: bool, name: str, roles: Iterable[str], others_left: dict[str, int]) -> list[Reason]:
    if own:
        return [Reason("Nobody closes their own account. Another registrar or the keeper has to do it.")]
    return [Reason(r.sentence) for r in hinders_taking(False, name, roles, others_left)]


# tokens


def scope_words(scope: str) -> list[str]:
    return scope.replace(",", " ").split()


def hinders_scope(scope: str, owner_may: Collection[str]) -> list[Reason]:
    """A scope is `all`, acts by name, or both; only what its owner may."""
    words = scope_words(scope)
    if not words:
        return [Reason("Say what the token may do: all, or acts by name such as photo.add.", "scope")]
    reasons = []
    for word in words:
        if word == "all" or word in owner_may:
            continue
        if word in ACTS:
            reasons.append(Reason(f"{word} is not among what this person may do.", "scope", said=word))
        else:
            reasons.append(
                Reason(f"There is no act {word!r}. Write it as it stands in the list of acts.", "scope", said=word)
            )
    return reasons


# the collection


def hinders_pattern(pattern: str, field: str, *, yearly: bool) -> list[Reason]:
    """Why numbers cannot be given by this pattern. `yearly`: the count begins anew each year, so the year has to stand in it."""
    years = pattern.count("{year}")
    if pattern.count("{n}") != 1 or years > 1 or (yearly and not years):
        return [Reason("Write {year} and {n} once each, such as {year}.{n}.", field, said=pattern)]
    between = pattern.replace("{year}", "").replace("{n}", "")
    if len(pattern) > 24 or not re.fullmatch(r"[A-Za-z._-]*", between):
        sentence = "Beside {year} and {n} a number has letters A to Z, points, hyphens and _, 24 characters in all."
        return [Reason(sentence, field, said=pattern)]
    if not pattern.endswith(("{n}", "{year}")) or re.match(r"[._-]", pattern):
        return [Reason("Begin with a letter, {year} or {n}, and end with {n} or {year}.", field, said=pattern)]
    if "}{" in pattern:
        return [Reason("Put a point or a hyphen between {year} and {n}.", field, said=pattern)]
    return []


def examples(pattern: str, year: int, last: int, n: int = 3) -> list[str]:
    """The next numbers that a pattern gives after `last`: ["2026.15", "2026.16", "2026.17"]."""
    return [pattern.replace("{year}", str(year)).replace("{n}", str(last + i)) for i in range(1, n + 1)]


@lru_cache(maxsize=1)
def zones() -> list[str]:
    """Names of time zones with a city in them, and UTC."""
    named = (z for z in available_timezones() if "/" in z and not z.startswith(("Etc/", "SystemV/")))
    return [*sorted(named), "UTC"]


def hinders_collection(said: OpeningSaid | CollectionSaid) -> list[Reason]:
    """What both the first start and the settings ask of the collection's decisions."""
    reasons = [Reason(r.sentence, "name", said=said.name) for r in hinders_name(said.name)]
    if not re.fullmatch(r"[A-Za-z][A-Za-z0-9-]{0,11}", said.code):
        sentence = "A code is one to twelve letters, figures or hyphens and begins with a letter, such as TH."
        reasons.append(Reason(sentence, "code", said=said.code))
    if said.zone not in zones():
        sentence = "Write the time zone as its city stands in the list, such as Europe/Amsterdam."
        reasons.append(Reason(sentence, "zone", said=said.zone))
    if not re.fullmatch(r"[A-Z]{3}", said.currency):
        reasons.append(Reason("Write the three letters of the currency, such as EUR.", "currency", said=said.currency))
    return reasons


def hinders_opening(said: OpeningSaid) -> list[Reason]:
    reasons = hinders_name(said.person, "person") + hinders_collection(said)
    reasons += hinders_pattern(said.pattern, "pattern", yearly=True)
    if not 0 <= said.last_on_paper <= 99_999:
        reasons.append(Reason("Write the last number as a figure from 0 to 99 999.", "last_on_paper"))
    return reasons


def hinders_settings(said: CollectionSaid, *, heads: int) -> list[Reason]:
    """`heads`: how many people are registrar or keeper."""
    reasons = hinders_collection(said)
    reasons += hinders_pattern(said.accession_pattern, "accession_pattern", yearly=True)
    reasons += hinders_pattern(said.entry_pattern, "entry_pattern", yearly=True)
    if said.accession_pattern == said.entry_pattern:
        reasons.append(
            Reason("An entry's number has to look different from a cast's, such as E-{year}-{n}.", "entry_pattern")
        )
    if said.alone and heads > 1:
        sentence = "There are two people who decide, so nobody is alone. Take the role from one of them first."
        reasons.append(Reason(sentence, "alone"))
    if said.own_digs_kept and not (said.own_digs_minute and said.own_digs_decided_by and said.own_digs_decided_on):
        sentence = "A standing decision needs who decided it, on which day, and its minute."
        reasons.append(Reason(sentence, "own_digs_minute"))
    if said.label_address.strip():
        try:
            code_address(said.label_address, "1")
        except ValueError as error:
            reasons.append(Reason(str(error), "label_address", said=said.label_address))
    if not 1 <= said.entry_days <= 3650:
        reasons.append(Reason("Write a number of days from 1 to 3 650.", "entry_days"))
    return reasons
