"""Addresses of people, of the door, and of the collection's decisions. allauth's names stand at these and nowhere else."""

from django.urls import path

from catalog.people import api
from catalog.people.pages import links, me, means, people, settings, sign_in, welcome

PAGES = [
    path("sign-in/", sign_in.sign_in, name="account_login"),
    path("sign-in/passkey/", sign_in.passkey, name="mfa_login_webauthn"),
    path("sign-in/second/", sign_in.second, name="mfa_authenticate"),
    path("sign-in/again/", sign_in.again, name="account_reauthenticate"),
    path("sign-in/reset/", sign_in.reset, name="account_reset_password"),
    path("sign-in/link/<str:token>/", links.link, name="sign-in-link"),
    path("sign-out/", sign_in.sign_out, name="account_logout"),
    path("invitation/<str:token>/", links.invitation, name="invitation"),
    path("me/", me.me, name="me"),
    path("me/csrf/", me.csrf, name="csrf"),
    path("me/data/", me.data, name="own-data"),
    path("me/password/", me.password, name="account_change_password"),
    path("me/sessions/end/", me.end_sessions, name="end-sessions"),
    path("me/sessions/<int:pk>/end/", me.end_session, name="end-session"),
    path("me/second-factor/", means.second_factor, name="mfa_index"),
    path("me/second-factor/app/", means.app, name="mfa_activate_totp"),
    path("me/second-factor/<int:pk>/end/", means.take_off, name="take-off-factor"),
    path("me/passkeys/new/", means.new_passkey, name="mfa_add_webauthn"),
    path("people/", people.people, name="people"),
    path("people/new/", people.new_person, name="new-person"),
    path("people/invite/", people.invite, name="invite"),
    path("people/invite/<int:pk>/end/", people.take_back_invitation, name="take-back-invitation"),
    path("people/<int:pk>/", people.person, name="person"),
    path("people/<int:pk>/change/", people.change_person, name="change-person"),
    path("people/<int:pk>/role/", people.change_role, name="change-role"),
    path("people/<int:pk>/leave/", people.give_leave, name="give-leave"),
    path("people/<int:pk>/leave/<int:leave>/end/", people.end_leave, name="end-leave"),
    path("people/<int:pk>/close/", people.close_account, name="close-account"),
    path("people/<int:pk>/link/", people.make_link, name="make-link"),
    path("settings/", settings.settings, name="settings"),
    path("settings/change/", settings.change_settings, name="change-settings"),
    path("settings/tokens/", settings.tokens, name="tokens"),
    path("settings/tokens/<int:pk>/revoke/", settings.revoke_token, name="revoke-token"),
    path("welcome/", welcome.you, name="welcome"),
    path("welcome/collection/", welcome.ours, name="welcome-collection"),
    path("welcome/numbers/", welcome.numbers, name="welcome-numbers"),
    path("welcome/open/", welcome.open_register, name="welcome-open"),
]

API = [("people", api.People)]
