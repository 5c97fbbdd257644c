"""Undercast's addresses, and Django's admin of the same casts as the peer."""

from django.contrib import admin
from django.urls import path

from catalog.casts.models import Cast, Piece
from deploy.urls import handler404, handler500, urlpatterns  # noqa: F401


class Everybody(admin.AdminSite):
    """The bench's admin lets everybody in: only its speed is looked at."""

    def has_permission(self, request: object) -> bool:
        return True


class PiecesInline(admin.TabularInline):
    model = Piece
    extra = 0
    fields = ("suffix", "kind", "mass_g", "mass_state", "present", "note")

    def has_view_permission(self, *args: object) -> bool:
        return True

    has_change_permission = has_add_permission = has_view_permission


class CastAdmin(admin.ModelAdmin):
    inlines = [PiecesInline]
    list_display = ("number", "description", "material", "taxon", "mass_g")
    list_filter = ("material", "taxon")
    raw_id_fields = ("taxon", "excavation", "original")

    def has_view_permission(self, *args: object) -> bool:
        return True

    has_change_permission = has_module_permission = has_view_permission


site = Everybody(name="bench")
site.register(Cast, CastAdmin)
urlpatterns = [path("bench-admin/", site.urls), *urlpatterns]
