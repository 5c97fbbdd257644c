"""Addresses of casts and pieces."""

from django.urls import path

from catalog.casts import api, pages

PAGES = [
    path("casts/", pages.casts, name="casts"),
    path("casts/<number:number>/", pages.cast_page, name="cast"),
    path("casts/<number:number>/change/", pages.change, name="cast-change"),
    path("casts/<number:number>/history/", pages.history, name="cast-history"),
    path("casts/<number:number>/history/<int:version>/undo/", pages.undo_change, name="cast-undo"),
    path("casts/<number:number>/determinations/new/", pages.determine, name="determine"),
    path("casts/<number:number>/determinations/<int:pk>/", pages.accept_determination, name="accept-determination"),
    path("casts/<number:number>/former-numbers/new/", pages.add_former_number, name="former-number"),
    path("casts/<number:number>/<number:suffix>/", pages.piece_page, name="piece"),
    path("pieces/<number:number>/", pages.piece_by_number, name="piece-by-number"),
]
API = [("casts", api.Casts), ("pieces", api.Pieces), ("determinations", api.Determinations)]
API_PATHS = [path("casts/<number:number>/pieces/", api.PiecesOfCast.as_view({"get": "list"}), name="api-cast-pieces")]
