"""Addresses of mounts, their supports and inspections."""

from django.urls import path

from registry.mounts import api
from registry.mounts.pages import changing, inspecting, mounting, mounts, papers

PAGES = [
    path("mounts/", mounts.mounts, name="mounts"),
    path("mounts/new/", changing.new_mount, name="new-mount"),
    path("mounts/<str:number>/", mounts.mount, name="mount"),
    path("mounts/<str:number>/change/", changing.change_mount, name="change-mount"),
    path("mounts/<str:number>/supports/new/", changing.new_support, name="new-support"),
    path("mounts/<str:number>/supports/<str:support>/change/", changing.change_support, name="change-support"),
    path("mounts/<str:number>/supports/<str:support>/take-away/", changing.take_away, name="take-support-away"),
    path("mounts/<str:number>/put-on/", mounting.put_on, name="put-on-mount"),
    path("mounts/<str:number>/mounted/<int:pk>/take-off/", mounting.take_off, name="take-off-mount"),
    path("mounts/<str:number>/inspect/", inspecting.inspect, name="inspect-mount"),
    path("mounts/<str:number>/word/", inspecting.word, name="engineers-word"),
    path("mounts/<str:number>/papers/mount-sheet.pdf", papers.mount_sheet, name="mount-sheet"),
    path("mounts/<str:number>/papers/inspection-sheet.pdf", papers.inspection_sheet, name="inspection-sheet"),
    path("mounts/<str:number>/papers/warning-tag.pdf", papers.warning_tag, name="warning-tag"),
    path("inspections/new/", inspecting.choose, name="new-inspection"),
    path("inspections/<int:pk>/", inspecting.inspection, name="inspection"),
]
API = [
    ("mounts", api.Mounts),
    ("supports", api.Supports),
    ("mounted", api.MountedThings),
    ("inspections", api.Inspections),
]
