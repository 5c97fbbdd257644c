"""Addresses of the desk."""

from django.urls import path

from registry.desk.pages import find, help, machine, scan, today

PAGES = [
    path("today/", today.today, name="today"),
    path("outbox/", today.outbox, name="outbox"),
    path("look/", today.look, name="look"),
    path("find/", find.find, name="find"),
    path("find/suggest/", find.suggest, name="suggest"),
    path("scan/", scan.scan, name="scan"),
    path("scan/read/", scan.read, name="read-code"),
    # the codes on labels are capitals and have no closing slash
    path("q/<path:number>", scan.code, name="code"),
    path("Q/<path:number>", scan.code, name="label-code"),
    path("help/", help.help_page, name="help"),
    path("help/keep-it-safe/", help.keep_it_safe, name="keep-it-safe"),
    path("help/problems/<slug:kind>/", help.problem, name="problem"),
    path("api/", machine.api, name="api"),
    path("sw.js", machine.service_worker, name="service-worker"),
    path("ok/", machine.ok, name="ok"),
]
API_PATHS = [
    path("openapi.json", machine.document, name="openapi"),
    path("docs/", machine.docs, name="api-docs"),
]
