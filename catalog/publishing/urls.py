"""Addresses for visitors."""

from django.urls import path

from catalog.publishing import pages

PAGES = [
    path("", pages.front, name="front"),
    path("casts/<str:number>/visitor/", pages.visitor, name="visitor"),
    path("casts/<str:number>/visitor/take-back/", pages.take_back, name="take-back"),
]
