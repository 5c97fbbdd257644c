"""Addresses of names of animals."""

from django.urls import path

from catalog.taxa import api, pages

PAGES = [
    path("taxa/", pages.taxa, name="taxa"),
    path("taxa/new/", pages.new_taxon, name="new-taxon"),
    path("taxa/<int:pk>/", pages.taxon, name="taxon"),
    path("taxa/<int:pk>/change/", pages.change_taxon, name="change-taxon"),
]
API = [("taxa", api.Taxa)]
