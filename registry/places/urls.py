"""Addresses of places and movements."""

from django.urls import path

from registry.places import api
from registry.places.pages import homes, movements, papers, places, trays

PAGES = [
    path("places/", places.places, name="places"),
    path("places/new/", places.new_place, name="new-place"),
    path("places/<str:code>/", places.place, name="place"),
    path("places/<str:code>/change/", places.change_place, name="change-place"),
    path("places/<str:code>/close/", places.close_place, name="close-place"),
    path("movements/", movements.movements, name="movements"),
    path("movements/new/", movements.new_movement, name="new-movement"),
    path("movements/papers/movement-list.pdf", papers.movement_list, name="movement-list"),
    path("movements/<int:pk>/", movements.movement, name="movement"),
    path("movements/<int:pk>/undo/", movements.undo, name="undo-movement"),
    path("movements/<int:pk>/correct/", movements.correct, name="correct-movement"),
    path("movements/<int:pk>/papers/removal-slip.pdf", papers.removal_slip, name="removal-slip"),
    path("casts/<str:number>/home/", homes.set_home, name="set-home"),
    path("casts/<number:number>/trays/", trays.trays_of_cast, name="trays-of-cast"),
    path("trays/", trays.trays, name="trays"),
    path("trays/new/", trays.begin, name="begin-tray"),
    path("trays/<str:code>/", trays.tray, name="tray"),
    path("trays/<str:code>/since/", trays.since, name="tray-since"),
    path("trays/<str:code>/rows/", trays.many, name="tray-rows"),
    path("trays/<str:code>/paste/", trays.pasted, name="tray-paste"),
    path("trays/<str:code>/crumbs/", trays.crumbs, name="tray-crumbs"),
    path("trays/<str:code>/doubts/", trays.settle, name="tray-doubts"),
    path("trays/<str:code>/change/", trays.change, name="change-tray"),
]
API = [
    ("places", api.Places),
    ("movements", api.Movements),
    ("placements", api.Placements),
    ("tray-rows", api.TrayRows),
]
