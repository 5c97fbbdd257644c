"""Addresses of examinations."""

from django.urls import path

from registry.condition.api import Examinations
from registry.condition.pages import examinations as pages

PAGES = [
    path("casts/<number:number>/examinations/", pages.of_cast, name="cast-examinations"),
    path("casts/<number:number>/examinations/new/", pages.new, name="examine"),
    path("examinations/", pages.examinations, name="examinations"),
    path("examinations/new/", pages.of_anything, name="new-examination"),
    path("examinations/<int:pk>/", pages.examination, name="examination"),
    path("examinations/<int:pk>/change/", pages.change, name="change-examination"),
    path("examinations/<int:pk>/sign/", pages.sign, name="sign-examination"),
    path("examinations/<int:pk>/against/<int:other>/", pages.against, name="examinations-against"),
    path("examinations/<int:pk>/papers/condition-report.pdf", pages.report, name="condition-report"),
]
API = [("examinations", Examinations)]
