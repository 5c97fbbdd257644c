"""Addresses of photographs, of the marks on them and of papers on record."""

from django.urls import path

from catalog.media import api, document_pages
from catalog.media.pages import annotations
from catalog.media.pages import photographs as pages

PAGES = [
    path("casts/<str:number>/photographs/", pages.of_cast, name="cast-photographs"),
    path("casts/<str:number>/photographs/new/", pages.add_to_cast, name="add-photographs"),
    path("casts/<str:number>/documents/new/", document_pages.of_cast, name="new-document"),
    path("excavations/<str:number>/documents/new/", document_pages.of_excavation, name="new-excavation-document"),
    path("permits/<int:pk>/documents/new/", document_pages.of_permit, name="new-permit-document"),
    path("excavations/<str:number>/photographs/", pages.of_excavation, name="excavation-photographs"),
    path("excavations/<str:number>/photographs/new/", pages.add_to_excavation, name="add-excavation-photographs"),
    path("photographs/<uuid:uid>/", pages.photograph, name="photograph"),
    path("photographs/<uuid:uid>/change/", pages.change, name="photograph-change"),
    path("photographs/<uuid:uid>/withdraw/", pages.withdraw, name="photograph-withdraw"),
    path("photographs/<uuid:uid>/put-back/", pages.put_back, name="photograph-put-back"),
    path("photographs/<uuid:uid>/first/", pages.first, name="photograph-first"),
    path("photographs/<uuid:uid>/<str:size>.jpg", pages.picture, name="photograph-picture"),
    path("photographs/<uuid:uid>/marks/", annotations.marks, name="marks"),
    path("photographs/<uuid:uid>/marks/new/", annotations.new, name="new-mark"),
    path("marks/<int:pk>/take-off/", annotations.take_off, name="take-off-mark"),
    path("photographs/<uuid:uid>/original", pages.original, name="photograph-original"),
    path("documents/<uuid:uid>/", document_pages.document, name="document"),
    path("documents/<uuid:uid>/file", document_pages.file, name="document-file"),
    path("documents/<uuid:uid>/view.jpg", document_pages.picture, name="document-picture"),
]
API = [("photographs", api.Photographs), ("documents", api.Documents), ("annotations", api.Annotations)]
