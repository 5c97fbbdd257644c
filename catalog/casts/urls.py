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
    path("casts/<number:number>/pieces/", pages.pieces.pieces_page, name="pieces"),
    path("casts/<number:number>/crumbs/new/", pages.pieces.keep_crumbs, name="keep-crumbs"),
    path("casts/<number:number>/refitting/", pages.refitting.refitting, name="refitting"),
    path("casts/<number:number>/refitting/joins/new/", pages.refitting.join, name="join"),
    path("casts/<number:number>/<number:suffix>/change/", pages.pieces.change, name="piece-change"),
    path("casts/<number:number>/<number:suffix>/faces/new/", pages.refitting.add_face, name="add-face"),
    path("casts/<number:number>/<number:suffix>/strike-off/", pages.pieces.strike_off, name="strike-off"),
    path("casts/<number:number>/<number:suffix>/put-back/", pages.pieces.put_back, name="put-back"),
    path("casts/<number:number>/<number:suffix>/part-number/", pages.pieces.part_number, name="part-number"),
    path("casts/<number:number>/<number:suffix>/give-to-cast/", pages.pieces.give_to_cast, name="give-to-cast"),
    path("faces/<int:pk>/", pages.refitting.measure_face, name="face"),
    path("faces/<int:pk>/divide/", pages.refitting.divide_face, name="divide-face"),
    path("faces/<int:pk>/part/", pages.refitting.place_face, name="place-face"),
    path("joins/<int:pk>/", pages.refitting.change_join, name="change-join"),
    path("crumb-lots/<int:pk>/piece/", pages.pieces.crumb_to_piece, name="crumb-to-piece"),
    path("pieces/<number:number>/", pages.pieces.piece_by_number, name="piece-by-number"),
]
API = [
    ("casts", api.Casts),
    ("pieces", api.Pieces),
    ("determinations", api.Determinations),
    ("faces", api.Faces),
    ("joins", api.Joins),
    ("refused-fits", api.RefusedFits),
    ("crumb-lots", api.CrumbLots),
]
API_PATHS = [
    path("casts/<number:number>/pieces/", api.PiecesOfCast.as_view({"get": "list"}), name="api-cast-pieces"),
    path(
        "casts/<number:number>/suggested-fits/",
        api.SuggestedFits.as_view({"get": "list"}),
        name="api-suggested-fits",
    ),
    path("pieces/<number:number>/strike-off/", api.StrikeOff.as_view({"post": "create"}), name="api-strike-off"),
    path("pieces/<number:number>/put-back/", api.PutBack.as_view({"post": "create"}), name="api-put-back"),
    path("pieces/<number:number>/part-number/", api.PartNumber.as_view({"post": "create"}), name="api-part-number"),
    path("pieces/<number:number>/give-to-cast/", api.GiveToCast.as_view({"post": "create"}), name="api-give-to-cast"),
    path("faces/<number:number>/divide/", api.DivideFace.as_view({"post": "create"}), name="api-divide-face"),
    path("crumb-lots/<number:number>/piece/", api.CrumbToPiece.as_view({"post": "create"}), name="api-crumb-to-piece"),
]
