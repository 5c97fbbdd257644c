"""What is done about people: who there is, who may come in, by what means, and the collection's own decisions."""

from catalog.people.actions.accounts import (
    accept_invitation,
    change_role,
    end_leave,
    end_role,
    give_leave,
    give_role,
    invite,
    lift_suspension,
    revoke_invitation,
    suspend,
)
from catalog.people.actions.deciding import change_collection, open_collection
from catalog.people.actions.factors import add_app, add_passkey, new_codes, take_off_factor, use_code
from catalog.people.actions.failures import forget_failures, note_failure
from catalog.people.actions.links import (
    ask_reset,
    make_link,
    make_reset,
    print_link,
    set_password_by_link,
    use_link,
)
from catalog.people.actions.own import change_password, forget_second_factor, keep_own_settings
from catalog.people.actions.persons import add_person, change_person, keep_contact
from catalog.people.actions.tidying import forget_old
from catalog.people.actions.tokens import issue_token, revoke_shown_token, revoke_token
from catalog.people.actions.visits import begin_visit, end_sessions, end_visit, know_device, renew_visit

__all__ = [
    "accept_invitation",
    "add_app",
    "add_passkey",
    "add_person",
    "ask_reset",
    "begin_visit",
    "change_collection",
    "change_password",
    "change_person",
    "change_role",
    "end_leave",
    "end_role",
    "end_sessions",
    "end_visit",
    "forget_failures",
    "forget_old",
    "forget_second_factor",
    "give_leave",
    "give_role",
    "invite",
    "issue_token",
    "keep_contact",
    "keep_own_settings",
    "know_device",
    "lift_suspension",
    "make_link",
    "make_reset",
    "new_codes",
    "note_failure",
    "open_collection",
    "print_link",
    "renew_visit",
    "revoke_invitation",
    "revoke_shown_token",
    "revoke_token",
    "set_password_by_link",
    "suspend",
    "take_off_factor",
    "use_code",
    "use_link",
]
