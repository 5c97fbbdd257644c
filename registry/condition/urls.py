"""Addresses of what is barred."""

from django.urls import path

from registry.condition import api, pages

PAGES = [
    path("casts/<number:number>/restrictions/new/", pages.restrict, name="restrict"),
    path("restrictions/<int:pk>/lift/", pages.lift, name="lift-restriction"),
]
API = [("restrictions", api.Restrictions)]
