"""Gathers the pages and the API of all rooms. Imported by nobody."""

from importlib import import_module
from importlib.util import find_spec

from django.urls import URLPattern, URLResolver, include, path
from rest_framework.routers import SimpleRouter

import catalog.ground.converters  # noqa: F401  the parts that addresses are made of
from catalog.apps import ROOMS as CATALOG
from registry.apps import ROOMS as REGISTRY


def _rooms() -> list[str]:
    named = [f"registry.{r}" for r in reversed(REGISTRY)] + [f"catalog.{r}" for r in reversed(CATALOG)]
    return [f"{room}.urls" for room in named if find_spec(f"{room}.urls")]


def _gather() -> tuple[list[URLPattern | URLResolver], list[URLPattern | URLResolver]]:
    pages: list[URLPattern | URLResolver] = []
    api: list[URLPattern | URLResolver] = []
    router = SimpleRouter()
    for name in _rooms():
        room = import_module(name)
        pages += getattr(room, "PAGES", [])
        api += getattr(room, "API_PATHS", [])
        for prefix, resource in getattr(room, "API", []):
            router.register(prefix, resource, basename=f"api-{prefix}")
    return pages, api + router.urls


_pages, _api = _gather()
urlpatterns = [path("api/v1/", include(_api)), *_pages]

handler404 = "catalog.ground.middleware.not_found"
handler500 = "catalog.ground.middleware.server_error"
