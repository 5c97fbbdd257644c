"""Addresses of what is barred, what broke and what is missing."""

from django.urls import path

from registry.condition import api, pages, urls_examinations

PAGES = [
    *urls_examinations.PAGES,
    path("casts/<number:number>/restrictions/new/", pages.restrictions.restrict, name="restrict"),
    path("restrictions/<int:pk>/lift/", pages.restrictions.lift, name="lift-restriction"),
    path("breakages/new/", pages.breakages.new_breakage, name="record-breakage"),
    path("casts/<number:number>/breakage/", pages.breakages.break_cast, name="break-cast"),
    path("casts/<number:number>/<number:suffix>/breakage/", pages.breakages.break_piece, name="break-piece"),
    path("casts/<number:number>/missing/", pages.incidents.missing_cast, name="missing-cast"),
    path("casts/<number:number>/<number:suffix>/missing/", pages.incidents.missing_piece, name="missing-piece"),
    path("incidents/", pages.incidents.incidents, name="incidents"),
    path("incidents/<number:number>/", pages.incidents.incident_page, name="incident"),
    path("incidents/<number:number>/masses/", pages.breakages.masses, name="incident-masses"),
    path("incidents/<number:number>/loose/", pages.breakages.place_loose, name="incident-loose"),
    path("incidents/<number:number>/found/", pages.incidents.found, name="found-again"),
    path("incidents/<number:number>/decision/", pages.incidents.decide, name="incident-decision"),
    path("incidents/<number:number>/take-back/", pages.incidents.take_back, name="incident-take-back"),
    path("incidents/<number:number>/papers/insurance-note.pdf", pages.incidents.insurance_note, name="insurance-note"),
]
API = [
    *urls_examinations.API,
    ("restrictions", api.Restrictions),
    ("breakages", api.Breakages),
    ("incidents", api.Incidents),
]
