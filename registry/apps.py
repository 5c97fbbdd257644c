"""The rooms of the register, bottom first, and how they open."""

from django.apps import AppConfig

ROOMS = ["places", "mounts", "condition", "accessions", "desk"]


class RegistryConfig(AppConfig):
    name = "registry"

    def ready(self) -> None:
        from catalog.ground.opening import open_rooms

        open_rooms("registry", ROOMS)
