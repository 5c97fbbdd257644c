"""What is said about people, accounts and the collection, on its way to an action. No Django."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date


@dataclass(frozen=True)
class PersonSaid:
    """A person or a body, as they may be named."""

    name: str
    kind: str = "person"
    town: str = ""
    does: str = ""
    orcid: str = ""
    ror: str = ""
    note: str = ""
    may_be_named: bool = False


@dataclass(frozen=True)
class ContactSaid:
    email: str = ""
    phone: str = ""
    address: str = ""


@dataclass(frozen=True)
class InvitationSaid:
    """Who is to come in, and as what. `person_pk`: somebody who is on record already."""

    name: str
    role: str
    email: str = ""
    person_pk: int | None = None


@dataclass(frozen=True)
class OwnSettingsSaid:
    """`decimal_comma` None: as the collection has it."""

    email: str = ""
    light: bool = False
    single_keys: bool = True
    decimal_comma: bool | None = None


@dataclass(frozen=True)
class OpeningSaid:
    """The first start. `password` None leaves the account without one (a link signs it in)."""

    person: str
    name: str
    code: str
    password: str | None = None
    hashed: bool = False
    email: str = ""
    pattern: str = "{year}.{n}"
    last_on_paper: int = 0
    zone: str = "UTC"
    currency: str = "EUR"
    alone: bool = False
    witness: str = ""
    checkpoint_mail: str = ""


@dataclass(frozen=True)
class CollectionSaid:
    """What a registrar decides; the fields are those of the record."""

    name: str
    code: str
    address: str = ""
    about: str = ""
    reach_us: str = ""
    accession_pattern: str = "{year}.{n}"
    entry_pattern: str = "E-{year}-{n}"
    zone: str = "UTC"
    currency: str = "EUR"
    decimal_comma: bool | None = None
    day_first: bool | None = True
    south: bool | None = False
    letter_paper: bool = False
    alone: bool = False
    witness: str = ""
    own_digs_kept: bool = False
    own_digs_minute: str = ""
    own_digs_decided_on: date | None = None
    own_digs_decided_by: str = ""
    label_address: str = ""
    entry_days: int = 90
    checkpoint_mail: str = ""
    second_factor_for_heads: bool = False
