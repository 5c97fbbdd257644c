"""Addresses of entries, of what is decided about a cast, and of the register."""

from django.urls import path

from registry.accessions import api, pages
from registry.accessions.urls_papers import PAGES as PAPERS

PAGES = [
    path("entries/", pages.entries, name="entries"),
    path("entries/new/", pages.enter, name="enter"),
    path("entries/<str:number>/", pages.entry_page, name="entry"),
    path("entries/<str:number>/change/", pages.change_entry, name="entry-change"),
    path("entries/<str:number>/objects/new/", pages.add_object, name="entry-object"),
    path("entries/<str:number>/accession/", pages.accession_many, name="accession-many"),
    path("casts/<str:number>/accession/", pages.accession, name="accession"),
    path("casts/<str:number>/proposal/", pages.propose, name="proposal"),
    path("casts/<str:number>/decision/", pages.decide, name="decision"),
    path("casts/<str:number>/witness/", pages.name_witness, name="witness"),
    path("casts/<str:number>/title/new/", pages.state_title, name="title"),
    path("casts/<str:number>/give-back/", pages.give_back, name="give-back"),
    path("casts/<str:number>/refuse/", pages.refuse, name="refuse"),
    path("casts/<str:number>/keep-for-teaching/", pages.keep_for_teaching, name="keep-for-teaching"),
    path("casts/<str:number>/same-as/", pages.same_as, name="same-as"),
    path("register/", pages.register, name="register"),
    path("register/check/", pages.check, name="register-check"),
    path("register/transcribe/", pages.transcribe, name="transcribe"),
    path("register/void/", pages.void, name="void"),
    path("register/<int:line>/", pages.line_page, name="line"),
    path("register/<int:line>/correction/", pages.correct, name="correction"),
    *PAPERS,
]
API_PATHS = [path("register/lines.jsonl", api.lines, name="api-register-lines")]
API = [("entries", api.Entries), ("accessions", api.Accessions), ("register", api.Register)]
