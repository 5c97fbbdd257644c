"""Who may do what: one table, read by `may`, by menus, by pages and by the crawl test. Names and holders: one act, one line."""

from __future__ import annotations

from dataclasses import dataclass, field

from catalog.ground.refusal import NotAllowed

REGISTRAR, KEEPER, TECHNICIAN, PREPARATOR, READER = "registrar", "keeper", "technician", "preparator", "reader"
INSTRUMENT, BORROWER, ANYONE = "instrument", "borrower", "anyone"
ROLES = [REGISTRAR, KEEPER, TECHNICIAN, PREPARATOR, READER]
STAFF = frozenset(ROLES)
HEADS = frozenset({REGISTRAR, KEEPER})
HANDS = frozenset({REGISTRAR, KEEPER, TECHNICIAN, PREPARATOR})
BENCH = frozenset({REGISTRAR, KEEPER, TECHNICIAN})
MENDERS = frozenset({REGISTRAR, KEEPER, PREPARATOR})

ACTS: dict[str, frozenset[str]] = {
    "public.read": STAFF | {ANYONE, INSTRUMENT, BORROWER},
    "record.read": STAFF,
    "history.read": STAFF,
    "register.read": STAFF,
    "register.verify": STAFF,
    "find": STAFF,
    "export.rows": STAFF,
    "subject.find": STAFF | {INSTRUMENT},
    "place.read": STAFF,
    "self.write": STAFF,
    "site.exact": HEADS,
    "person.private": HEADS,
    "value.read": HEADS,
    "entry.make": HANDS,
    "photo.add": HANDS | {INSTRUMENT},
    "cast.describe": HANDS,
    "mark.draw": HANDS,
    "examination.write": HANDS,
    "examination.sign": HANDS,
    "label.print": HANDS,
    "marking.record": HANDS,
    "acquisition.propose": HANDS,
    "determination.propose": HANDS,
    "person.write": HANDS,
    "taxon.write": HANDS,
    "excavation.write": BENCH,
    "lot.write": BENCH,
    "permit.write": HEADS,
    "site.write": HEADS,
    "site.category": HEADS,
    "determination.accept": frozenset({KEEPER}),
    "restriction.write": MENDERS,
    "restriction.lift": frozenset({KEEPER}),
    "acquisition.decide": frozenset({KEEPER}),
    "accession.do": frozenset({REGISTRAR}),
    "exit.write": frozenset({REGISTRAR}),
    "register.certificate": frozenset({REGISTRAR}),
    "checkpoint.issue": frozenset({REGISTRAR}),
    "register.correct": frozenset({REGISTRAR}),
    "register.void": frozenset({REGISTRAR}),
    "title.change": frozenset({REGISTRAR}),
    "move.do": HANDS,
    "place.write": HANDS,
    "move.fragile": MENDERS,
    "cast.publish": HEADS,
    "cast.withdraw": HEADS,
    "person.invite": HEADS,
    "link.make": HEADS,
    "link.revoke": HEADS,
    "token.make": STAFF,
    "token.revoke": STAFF,
    "log.read": HEADS,
    "role.change": HEADS,
    "person.suspend": HEADS,
    "setting.change": HEADS,
    "backup.read": HEADS,
    "tray.enter": HANDS,
    "piece.write": HANDS,
    "measurement.post": HANDS | {INSTRUMENT},
    "measurement.supersede": HANDS,
    "instrument.write": BENCH,
    "calibration.write": BENCH,
    "join.dry": HANDS,
    "join.fix": HANDS,
    "join.undo": HANDS,
    "fit.refuse": HANDS,
    "breakage.record": HANDS,
    "breakage.take_back": HANDS,
    "incident.report": STAFF | {BORROWER},
    "incident.decide": frozenset({KEEPER}),
    "mount.write": MENDERS,
    "mount.inspect": MENDERS,
    "mount.release": frozenset({KEEPER}),
}

# acts that cannot be taken back: asked for again with the password, and by API only where the token names them
GRAVE = frozenset(
    {
        "site.category",
        "register.correct",
        "register.void",
        "title.change",
        "role.change",
        "person.suspend",
        "setting.change",
        "mount.release",
    }
)

# nobody takes this step on what they proposed themselves: act -> the field that names the proposer's account
APART: dict[str, str] = {
    "acquisition.decide": "proposed_by_id",
    "determination.accept": "proposed_by_id",
    "incident.decide": "created_by_id",
}


@dataclass(frozen=True)
class Actor:
    """Who asks: an account, a token, a link, or a visitor. Made once a request.

    `acts` narrows a token (None: all that the roles may); `leaves` add single acts; `only` narrows to one record;
    `alone_before` names the outside witness in a collection of one.
    """

    account_id: int | None = None
    name: str = ""
    roles: frozenset[str] = frozenset()
    person_id: int | None = None
    acts: frozenset[str] | None = None
    grave_named: frozenset[str] = frozenset()
    leaves: frozenset[str] = frozenset()
    only: tuple[str, int] | None = None
    alone: bool = False
    alone_before: str = ""
    by_token: bool = False
    token_id: int | None = None
    said: dict[str, str] = field(default_factory=dict, hash=False, compare=False)

    @property
    def signed_in(self) -> bool:
        return self.account_id is not None

    @property
    def first_name(self) -> str:
        return self.name.split(" ")[0] if self.name else ""

    @property
    def staff(self) -> bool:
        return bool(self.roles & STAFF)

    @property
    def holder(self) -> str:
        """The scope of an idempotency key: the token, else the account."""
        return f"token:{self.token_id}" if self.token_id else f"account:{self.account_id}"


VISITOR = Actor(roles=frozenset({ANYONE}))
# the house itself: what the nightly run does; it holds no role and writes only where an action asks for none
HOUSE = Actor(name="Undercast")


def _role_may(actor: Actor, act: str) -> bool:
    if act in actor.leaves:
        return True
    return bool(ACTS.get(act, frozenset()) & (actor.roles | ({ANYONE} if act == "public.read" else set())))


def may(actor: Actor, act: str, subject: object = None) -> bool:
    """True where the table, the token's scope and the rule of two persons all allow it."""
    if not _role_may(actor, act):
        return False
    if actor.acts is not None and act not in actor.acts and act != "public.read":
        return False
    if actor.by_token and act in GRAVE and act not in actor.grave_named:
        return False
    return not same_person(actor, act, subject) or actor.alone


def same_person(actor: Actor, act: str, subject: object) -> bool:
    """True where the actor would take a step on what they proposed themselves."""
    proposer = getattr(subject, APART[act], None) if subject is not None and act in APART else None
    return proposer is not None and proposer == actor.account_id


def who_may(act: str) -> str:
    """`a registrar or the keeper`, for the sentence of a refusal."""
    names = [("the keeper" if r == KEEPER else f"a {r}") for r in ROLES if r in ACTS.get(act, frozenset())]
    if not names:
        return "nobody"
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} or {names[-1]}"


def demand(actor: Actor, act: str, subject: object = None) -> None:
    """Raises NotAllowed, which names who may, unless the actor may."""
    if act not in ACTS:
        raise KeyError(f"no such act: {act}")
    if may(actor, act, subject):
        return
    if _role_may(actor, act) and same_person(actor, act, subject):
        raise NotAllowed("Nobody decides on what they proposed themselves. Another person has to do it.")
    if _role_may(actor, act):
        raise NotAllowed(f"This token may not do that: its scope lacks {act}.", scope=act)
    sentence = f"Only {who_may(act)} may do this."
    raise NotAllowed(sentence, scope=act)
