"""Addresses of casts and pieces."""

from django.urls import path

from catalog.casts import api, pages

PAGES = [
    path("casts/", pages.casts.casts, name="casts"),
    path("casts/<number:number>/", pages.casts.cast_page, name="cast"),
    path("casts/<number:number>/change/", pages.casts.change, name="cast-change"),
    path("casts/<number:number>/history/", pages.casts.history, name="cast-history"),
    path("casts/<number:number>/history/<int:version>/undo/", pages.casts.undo_change, name="cast-undo"),
    path("casts/<number:number>/determinations/new/", pages.determinations.determine, name="determine"),
    path(
        "casts/<number:number>/determinations/<int:pk>/",
        pages.determinations.accept_determination,
        name="accept-determination",
    ),
    path("casts/<number:number>/former-numbers/new/", pages.casts.add_former_number, name="former-number"),
    path("casts/<number:number>/<number:suffix>/", pages.pieces.piece_page, name="piece"),
    path("pieces/<number:number>/", pages.pieces.piece_by_number, name="piece-by-number"),
]
API = [("casts", api.Casts), ("pieces", api.Pieces), ("determinations", api.Determinations)]
API_PATHS = [path("casts/<number:number>/pieces/", api.PiecesOfCast.as_view({"get": "list"}), name="api-cast-pieces")]
