"""Addresses of instruments and weighings."""

from django.urls import path

from catalog.measurements import api
from catalog.measurements.pages import instruments, weighings

PAGES = [
    path("instruments/", instruments.instruments, name="instruments"),
    path("instruments/new/", instruments.new_instrument, name="new-instrument"),
    path("instruments/<str:code>/", instruments.instrument, name="instrument"),
    path("instruments/<str:code>/calibration/", instruments.calibrate, name="calibrate"),
    path("casts/<number:number>/weigh/", weighings.weigh_cast, name="weigh-cast"),
    path("casts/<number:number>/<number:suffix>/weigh/", weighings.weigh_piece, name="weigh-piece"),
]
API = [
    ("instruments", api.Instruments),
    ("calibrations", api.Calibrations),
    ("weighings", api.Weighings),
    ("readings", api.Readings),
]
