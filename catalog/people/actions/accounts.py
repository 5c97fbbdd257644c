"""Who may come in and as what: invitations, roles, leaves, closed accounts."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, timedelta

from django.conf import settings
from django.utils import timezone

from catalog.ground.acting import action, locked, store, tell
from catalog.ground.collection import today
from catalog.ground.models import Collection
from catalog.ground.refusal import Hindered, NotFound, Reason, Refusal, refuse_if
from catalog.ground.roles import ACTS, ROLES, Actor
from catalog.people import reads, rules
from catalog.people.actions.own import check_password
from catalog.people.actions.visits import end_all_visits
from catalog.people.models import Account, Invitation, Leave, Person, Role
from catalog.people.said import InvitationSaid
from catalog.people.shown_once import derived_link, digest_of


@action("person.invite")
def invite(actor: Actor, said: InvitationSaid) -> tuple[Invitation, str]:
    """An invitation and the secret of its link. With a mail server and an address the letter is on its way when this commits."""
    from catalog.people.tasks import send_invitation

    refuse_if(rules.hinders_name(said.name) + rules.hinders_roles([said.role]), Refusal)
    person = locked(Person, pk=said.person_pk) if said.person_pk else None
    if person and reads.account_of(person):
        raise Hindered(Reason(f"{person.name} can sign in already.", "name"))
    made = Invitation(name=" ".join(said.name.split()), email=said.email.strip().lower(), role=said.role, person=person)
    secret = invitation_secret(made)
    made.digest, made.expires_at = digest_of(secret), timezone.now() + timedelta(days=rules.INVITATION_DAYS)
    store(made)
    if made.email and reads.mail_is_set():
        send_invitation.enqueue(made.pk)
    tell(made.name, role=made.role)
    return made, secret


def invitation_secret(invitation: Invitation) -> str:
    """Made again from the house's key whenever the letter is sent; the table has only its fingerprint."""
    return derived_link(settings.SECRET_KEY, f"invitation {invitation.uid}")


@action("person.invite")
def revoke_invitation(actor: Actor, pk: int) -> Invitation:
    invitation = locked(Invitation, pk=pk)
    if invitation.used_at:
        raise Hindered(f"{invitation.name} came in by this invitation already.")
    invitation.revoked_at = invitation.revoked_at or timezone.now()
    return store(invitation)


def open_invitation(secret: str) -> Invitation | None:
    """The invitation that this link still opens."""
    still = Invitation.objects.filter(used_at=None, revoked_at=None, expires_at__gt=timezone.now())
    return still.select_related("person", "created_by__person").filter(digest=digest_of(secret)).first()


@action(None)
def accept_invitation(actor: Actor, secret: str, name: str, password: str | None) -> Account:
    """Comes in by an invitation, once. `password` None: no password yet, a link signs in."""
    invitation = open_invitation(secret)
    if invitation is None:
        raise NotFound("This invitation is not one of ours, or it was used, taken back, or is older than seven days.")
    invitation = locked(Invitation, pk=invitation.pk)
    if invitation.used_at:
        raise NotFound("This invitation was used already.")
    name = " ".join(name.split())
    if password is not None:
        check_password(password, Account(name=name, email=invitation.email))
    person = invitation.person or store(Person(name=name))
    account = new_account(person, name, invitation.email, password)
    store(Role(account=account, role=invitation.role, since=today(), given_by=invitation.created_by))
    invitation.used_at = timezone.now()
    store(invitation)
    tell(name, role=invitation.role)
    return account


def new_account(person: Person, name: str, email: str, password: str | None, *, hashed: bool = False) -> Account:
    """An account inside a running action; its name is told apart whatever its case."""
    refuse_if(rules.hinders_name(name), Refusal)
    if Account.objects.filter(name__iexact=name).exists():
        raise Refusal(Reason(f"Somebody signs in as {name} already. Write another name.", "name", said=name))
    account = Account(person=person, name=name, email=email)
    if hashed and password:
        account.password = password
    else:
        account.set_password(password)
    return store(account)


def _held(account_pk: int) -> Account:
    """The account, and the collection's row before it: two who take each other's role do so one after the other."""
    Collection.objects.select_for_update(no_key=True).filter(pk=1).first()
    return locked(Account, pk=account_pk)


@action("role.change")
def change_role(actor: Actor, account_pk: int, roles: Iterable[str]) -> list[Role]:
    """Makes exactly these the roles of somebody else, and ends their sessions. The last registrar and keeper stay."""
    roles = set(roles)
    refuse_if(rules.hinders_roles(roles), Refusal)
    account = _held(account_pk)
    held = {r.role: r for r in account.roles_held.filter(reads.STANDING).select_for_update()}
    taken = sorted(set(held) - roles)
    own = account.pk == actor.account_id
    refuse_if(rules.hinders_taking(own, account.person.name, taken, reads.others_left(account.pk)))
    for role in taken:
        held[role].until = today()
        store(held[role])
    for role in (r for r in ROLES if r in roles - set(held)):
        store(Role(account=account, role=role, since=today(), given_by_id=actor.account_id))
    if set(held) != roles:
        end_all_visits(account)
        tell(account.person.name, roles=sorted(roles))
    return list(account.roles_held.filter(reads.STANDING))


@action("role.change")
def give_role(actor: Actor, account_pk: int, role: str) -> list[Role]:
    account = locked(Account, pk=account_pk)
    return change_role(actor, account_pk, {*reads.standing_roles(account), role})


@action("role.change")
def end_role(actor: Actor, account_pk: int, role: str) -> list[Role]:
    """Ends one role of several. The last one ends by `suspend`."""
    account = locked(Account, pk=account_pk)
    return change_role(actor, account_pk, set(reads.standing_roles(account)) - {role})


@action("role.change")
def give_leave(actor: Actor, account_pk: int, act: str, *, until: date | None = None, ground: str = "") -> Leave:
    """One act more for one person, until a day."""
    account = locked(Account, pk=account_pk)
    if account.pk == actor.account_id:
        raise Hindered("Nobody gives leave to themselves. Another registrar or the keeper has to do it.")
    if act not in ACTS:
        raise Refusal(Reason(f"There is no act {act!r}.", "act", said=act))
    if until and until < today():
        raise Refusal(Reason("This day is over. Write today or a later day.", "until", said=str(until)))
    return store(Leave(account=account, act=act, until=until, ground=ground.strip()))


@action("role.change")
def end_leave(actor: Actor, leave_pk: int) -> Leave:
    leave = locked(Leave, pk=leave_pk)
    leave.until = today() - timedelta(days=1)
    return store(leave)


@action("person.suspend")
def suspend(actor: Actor, account_pk: int) -> Account:
    """Closes an account: it signs in no more, its sessions and tokens die; its name stays in the history."""
    account = _held(account_pk)
    own, roles = account.pk == actor.account_id, reads.standing_roles(account)
    refuse_if(rules.hinders_suspending(own, account.person.name, roles, reads.others_left(account.pk)))
    account.is_active = False
    store(account)
    end_all_visits(account)
    tell(account.person.name, closed=True)
    return account


@action("person.suspend")
def lift_suspension(actor: Actor, account_pk: int) -> Account:
    account = locked(Account, pk=account_pk)
    account.is_active = True
    tell(account.person.name, closed=False)
    return store(account)
