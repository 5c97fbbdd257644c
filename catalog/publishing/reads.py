"""What visitors read: pages of casts, the place as it is shown, and what such a page must not tell."""

from __future__ import annotations

import uuid
from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from django.conf import settings
from django.db.models import Q, QuerySet

from catalog.casts.models import Cast, CastPerson
from catalog.excavations import placing
from catalog.excavations.generalised import Shown
from catalog.excavations.models import ExactPlace, Excavation, Site
from catalog.ground import say
from catalog.ground.collection import collection, with_code
from catalog.ground.edtf import in_words
from catalog.ground.kept import kept_on
from catalog.ground.refusal import Reason
from catalog.media.models import Photograph
from catalog.media.outlines import outline_for
from catalog.media.reads import in_order
from catalog.media.rights import is_licence, rights_words
from catalog.media.rules import exact_is_secret
from catalog.people.models import Person
from catalog.publishing import rules, square
from catalog.publishing.betrayals import names_in_words
from catalog.publishing.models import PublicPage
from catalog.publishing.rules import Picture, Said, Secrets

_WHERE_UNKNOWN = "2"
_MOST_OFFERED = 24


def digs_of(cast: Cast) -> list[Excavation]:
    """Where a cast comes from: its own excavation, and for a replica that of its original."""
    rows = Excavation.objects.select_related("site", "exact")
    keys = [cast.excavation_id, cast.original.excavation_id if cast.original else None]
    wanted = [key for key in keys if key is not None]
    return list(rows.filter(pk__in=wanted).order_by("pk")) if wanted else []


def category_of(digs: Iterable[Excavation]) -> str | None:
    """The strictest category; None where no site is on record."""
    return min((d.site.category if d.site else _WHERE_UNKNOWN for d in digs), default=None)


def cell_of(cast: Cast, digs: list[Excavation]) -> dict[str, Any]:
    """The place for visitors, made of the exact one by the site's category: `lat lon within_m cell_deg`, all None without one.

    Category 1 shows its region in words only.
    """
    nothing: dict[str, Any] = dict.fromkeys(("lat", "lon", "within_m", "cell_deg"))
    dig = next((d for d in digs if d.pk == cast.excavation_id), None)
    exact: ExactPlace | None = getattr(dig, "exact", None) if dig else None
    category = category_of(digs)
    if exact is None:
        return nothing
    kept = placing.shown(exact.lat, exact.lon, max(exact.within_m, 1), category)
    if kept.lat is None:
        return nothing
    side = placing.cell_side_deg(category)
    return {"lat": kept.lat, "lon": kept.lon, "within_m": kept.within_m, "cell_deg": side}


def secrets_of(cast: Cast, digs: list[Excavation], cell_deg: Decimal | None) -> Secrets:
    """What the page of this cast must not tell. The names of all kept-back sites, for a text may know more than the record."""
    category = category_of(digs)
    places = list(Site.objects.exclude(category="none").order_by("pk").values_list("name", flat=True))
    for dig in digs:
        if dig.site and not exact_is_secret(dig.site.category):
            continue
        places += [n for n in (dig.field_number,) if n]
        exact: ExactPlace | None = getattr(dig, "exact", None)
        region = dig.site.region if dig.site else ""
        places += [n for n in names_in_words(exact.words if exact else "") if n.casefold() not in region.casefold()]
    people = Person.objects.filter(kind="person", may_be_named=False, name__contains=" ").order_by("pk")
    return Secrets(category, tuple(places), tuple(people.values_list("name", flat=True)), cell_deg)


def region_of(digs: list[Excavation]) -> str:
    """What visitors may read of the place until somebody writes better words."""
    return next((d.site.region for d in digs if d.site and d.site.region), "")


def picture_facts(picture: Photograph | None, cast: Cast) -> Picture | None:
    if picture is None:
        return None
    return Picture(
        of_this=picture.cast_id == cast.pk,
        withdrawn=picture.withdrawn_on is not None,
        of_label=picture.of_label,
        shows_place=picture.shows_place,
    )


def said_on(page: PublicPage, cast: Cast) -> Said:
    """What stands on a page, as the rules read it."""
    return Said(page.title, page.story, page.seen_at, page.place_words, page.licence, picture_facts(page.picture, cast))


def page_of(cast: Cast) -> PublicPage | None:
    return PublicPage.objects.select_related("picture__by").filter(cast=cast).first()


def page_at_hand(cast: Cast) -> PublicPage | None:
    """The same, read once for a page."""
    return kept_on(cast, "public page", lambda: page_of(cast))


def standing_pages() -> QuerySet[PublicPage]:
    """Pages that visitors read now, newest first."""
    rows = PublicPage.objects.filter(withdrawn_on__isnull=True, cast__published_on__isnull=False)
    return rows.select_related("cast__taxon", "picture").order_by("-cast__published_on", "-pk")


def pictures_shown() -> QuerySet[Any, Any]:
    """Keys of the photographs that visitors may see: those of standing pages, unless they show a place that is kept back.

    The same rule as `rules.hinders_picture`, asked of the database anew each time, so that what is taken back is gone.
    """
    rows = standing_pages().filter(picture__withdrawn_on__isnull=True)
    rows = rows.filter(Q(picture__shows_place=False) | _all_of(["3", "4", "none"]))
    rows = rows.filter(Q(picture__of_label=False) | _all_of(["none"]))
    return rows.order_by().values("picture")


def _all_of(categories: list[str]) -> Q:
    """Its site is of one of these, and that of its original, where it is a replica of something dug, too."""
    own = Q(cast__excavation__site__category__in=categories)
    no_original = Q(cast__original__isnull=True) | Q(cast__original__excavation__isnull=True)
    return own & (no_original | Q(cast__original__excavation__site__category__in=categories))


# a page that is being written


def begun(cast: Cast) -> PublicPage:
    """A page before anything is written: the region of its site, the first picture that may be shown."""
    digs = digs_of(cast)
    category = category_of(digs)
    mine = in_order(cast.photographs.filter(withdrawn_on__isnull=True))[:40]
    fit = (p for p in mine if not rules.hinders_picture(picture_facts(p, cast), category))
    common = cast.taxon.common_name if cast.taxon else ""
    title = say.capital(f"{common or cast.animal}, {cast.material}".strip(", ")) if common or cast.animal else ""
    return PublicPage(
        cast=cast, title=title, place_words=region_of(digs), picture=next(fit, None), **cell_of(cast, digs)
    )


def pictures_to_offer(cast: Cast, all_of_it: Iterable[Photograph]) -> tuple[list[Photograph], int]:
    """The photographs that may be shown, the first one first, and how many may not."""
    category, every = category_of(digs_of(cast)), list(all_of_it)
    fit = [p for p in every if not rules.hinders_picture(picture_facts(p, cast), category)]
    return fit[:_MOST_OFFERED], len(every) - len(fit)


def as_typed(cast: Cast, there: PublicPage, said: dict[str, Any]) -> PublicPage:
    """A page with what was typed, not stored: what the preview shows."""
    digs = digs_of(cast)
    typed = PublicPage(cast=cast, **said, **cell_of(cast, digs))
    typed.version = there.version
    return typed


def what_stands_against(cast: Cast, page: PublicPage) -> list[Reason]:
    """What would hinder publishing this page as it stands."""
    digs, said = digs_of(cast), said_on(page, cast)
    return rules.wrong_in_page(said) + rules.what_betrays(said, secrets_of(cast, digs, page.cell_deg))


def outline_of(page: PublicPage) -> str:
    return outline_for(page.cast.nest_form)


# the page itself


@dataclass(frozen=True)
class Figure:
    name: str
    value: str


def visitor_facts(cast: Cast, page: PublicPage) -> dict[str, Any]:
    """All that the visitor's page shows; the preview shows the same."""
    digs = digs_of(cast)
    category = category_of(digs)
    shown = page.picture if not rules.hinders_picture(picture_facts(page.picture, cast), category) else None
    return {
        "cast": cast,
        "page": page,
        "picture": shown.uid if shown else None,
        "picture_size": (shown.width_px, shown.height_px) if shown else None,
        "picture_by": str(shown.by) if shown and shown.by and shown.by.may_be_named else "",
        "picture_rights": rights_words(shown.rights) if shown and shown.rights else "",
        "outline": outline_for(cast.nest_form),
        "figures": figures(cast, category),
        "place": place_facts(page),
        "people": people_named(cast),
        "cite": citation(cast, page),
        "licence": licence_facts(page),
    }


def figures(cast: Cast, category: str | None) -> list[Figure]:
    """A closed list: nothing else of the record is public."""
    size = " × ".join(say.length(mm) for mm in (cast.length_mm, cast.width_mm, cast.height_mm) if mm is not None)
    mass = say.mass(cast.mass_g) + (f" ± {say.mass(cast.mass_u_g)}" if cast.mass_u_g else "")
    found = [
        ("Cast in", cast.material if cast.material not in ("", "unknown", "other") else ""),
        ("Poured", in_words(rules.day_shown(cast.made_on, category)) if cast.made_on else ""),
        ("Mass", mass if cast.mass_g is not None else ""),
        ("Size", size),
        ("Parts", say.figure(cast.n_parts) if cast.n_parts else ""),
        ("A copy of", cast.original.number if cast.original and cast.original.published_on else ""),
    ]
    return [Figure(name, value) for name, value in found if value]


def place_facts(page: PublicPage) -> dict[str, Any]:
    """The place in words and as a square; for a place that is not kept back its point."""
    facts: dict[str, Any] = {"words": page.place_words}
    if page.lat is None or page.lon is None:
        return facts
    shown = Shown(page.lat.normalize(), page.lon.normalize(), page.within_m or 0, page.cell_deg)
    if page.cell_deg is None:
        return facts | {"point": f"{page.lat}, {page.lon}", "within": say.length((page.within_m or 0) * 1000)}
    return facts | {"square": square.drawn(shown), "size": square.cell_words(shown)}


def people_named(cast: Cast) -> list[str]:
    """Who had a hand in it and agreed to be named."""
    rows = CastPerson.objects.filter(cast=cast, person__may_be_named=True).select_related("person").order_by("pk")
    return [f"{p.person} ({p.did})" if p.did else str(p.person) for p in rows]


def citation(cast: Cast, page: PublicPage) -> str:
    ours = collection()
    return f"{page.title}. {with_code(cast.number, ours.code)}, {ours.name}. {settings.BASE_ADDRESS}{cast.href}"


def licence_facts(page: PublicPage) -> dict[str, Any]:
    return {"words": rights_words(page.licence), "href": page.licence, "is_licence": is_licence(page.licence)}


def public_values(casts: list[Cast]) -> list[tuple[int, str, Any]]:
    """What the API says of published casts to visitors: the words of the page, the cell, the licence. One query."""
    pages = standing_pages().filter(cast__in=casts)
    shown: set[int] = set(pictures_shown().filter(cast__in=casts).values_list("picture", flat=True))
    return [(p.cast_id, name, value) for p in pages for name, value in _values(p, shown)]


def _values(page: PublicPage, shown: set[int]) -> list[tuple[str, Any]]:
    uid: uuid.UUID | None = page.picture.uid if page.picture and page.picture_id in shown else None
    place = {n: getattr(page, n) for n in ("lat", "lon", "within_m", "cell_deg")} if page.lat is not None else {}
    return [
        ("title", page.title),
        ("story", page.story),
        ("seen_at", page.seen_at),
        ("place", {"words": page.place_words} | place),
        ("licence", page.licence),
        ("picture", f"/photographs/{uid}/view.jpg" if uid else None),
    ]
