"""Addresses of places and movements."""

from django.urls import path

from registry.places import api
from registry.places.pages import homes, movements, papers, places

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
]
API = [("places", api.Places), ("movements", api.Movements), ("placements", api.Placements)]
