"""Casts, pieces and determinations as the API reads and writes them."""

from __future__ import annotations

from typing import Any

from django.db.models import QuerySet
from django.http import HttpResponse
from drf_spectacular.types import OpenApiTypes
from drf_spectacular.utils import OpenApiParameter, extend_schema
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from catalog.casts import actions, reads
from catalog.casts.filters import CastFilter
from catalog.casts.lists import annotated
from catalog.casts.models import MASS_STATES, Cast, Determination, Piece
from catalog.casts.said import PieceSaid, what_is_said
from catalog.casts.subject import facts
from catalog.ground.api import Resource, Strict, etag_of, made
from catalog.ground.edtf import read_edtf
from catalog.ground.lists import facet_choices
from catalog.ground.refusal import NotFound
from catalog.ground.roles import Actor
