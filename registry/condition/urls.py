"""Addresses of what is barred."""

from django.urls import path

from registry.condition import api, pages, urls_examinations

PAGES = [
    *urls_examinations.PAGES,
    path("casts/<number:number>/restrictions/new/", pages.restrictions.restrict, name="restrict"),
    path("restrictions/<int:pk>/lift/", pages.restrictions.lift, name="lift-restriction"),
]
API = [*urls_examinations.API, ("restrictions", api.Restrictions)]
