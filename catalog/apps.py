"""The rooms of the catalogue, bottom first, and how they open."""

from django.apps import AppConfig
from django.db.models.signals import post_migrate, pre_migrate

ROOMS = ["ground", "people", "taxa", "excavations", "casts", "media", "measurements", "publishing"]


class CatalogConfig(AppConfig):
    name = "catalog"

    def ready(self) -> None:
        from catalog.ground import guards
        from catalog.ground.opening import open_rooms

        open_rooms("catalog", ROOMS)
        pre_migrate.connect(guards.lift, dispatch_uid="undercast.guards.lift")
        post_migrate.connect(guards.place, dispatch_uid="undercast.guards.place")
