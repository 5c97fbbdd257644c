"""Every write about visitors' pages. The place is made coarse here, at the write, so that public code cannot reach the exact one."""

from __future__ import annotations

from catalog.casts.actions import hold_cast, set_published
from catalog.casts.models import Cast
from catalog.casts.subject import Subject, what_hinders
from catalog.ground import search
from catalog.ground.acting import action, store
from catalog.ground.collection import today
from catalog.ground.refusal import Hindered, Refusal, Stale, refuse_if
from catalog.ground.roles import Actor
from catalog.media.models import Photograph
from catalog.media.rights import address_of
from catalog.publishing import reads, rules
from catalog.publishing.models import PublicPage


@action("cast.publish")
def publish_cast(
    actor: Actor,
    cast: Cast,
    *,
    title: str,
    story: str = "",
    seen_at: str = "",
    picture: Photograph | None = None,
    place_words: str | None = None,
    licence: str = "",
    expected_version: int | None = None,
) -> PublicPage:
    """Lets visitors read of a cast, or changes what they read.

    `place_words` None: the region of its site. `licence`: an address of `media.rights`, or its short name.
    `expected_version`: of the page as it was seen, 0 where there was none.
    """
    cast = hold_cast(cast.pk)
    page = _page(cast, expected_version)
    digs = reads.digs_of(cast)
    page.title, page.story, page.seen_at = title.strip(), story.strip(), seen_at.strip()
    page.place_words = reads.region_of(digs) if place_words is None else place_words.strip()
    page.picture, page.licence, page.withdrawn_on = picture, address_of(licence), None
    _place(page, cast)
    said = reads.said_on(page, cast)
    refuse_if(rules.wrong_in_page(said), Refusal)
    refuse_if(rules.what_betrays(said, reads.secrets_of(cast, digs, page.cell_deg)), Refusal)
    refuse_if(what_hinders(Subject(cast), "publish"))
    if cast.closed_as:
        raise Hindered(f"{cast.number} is no longer in our care: {cast.closed_as}. It is not shown to visitors.")
    store(page)
    return _shown(actor, page, cast)


def _page(cast: Cast, expected_version: int | None) -> PublicPage:
    page = PublicPage.objects.select_for_update(no_key=True).filter(cast=cast).first() or PublicPage(cast=cast)
    seen = page.version if page.pk else 0
    if expected_version is not None and expected_version != seen:
        raise Stale("Somebody changed this page before you.", now=page)
    return page


def _place(page: PublicPage, cast: Cast) -> None:
    for name, value in reads.cell_of(cast, reads.digs_of(cast)).items():
        setattr(page, name, value)


def _shown(actor: Actor, page: PublicPage, cast: Cast) -> PublicPage:
    """The day of publishing, and what visitors find it by."""
    page.cast = set_published(actor, cast.pk, cast.published_on or today())
    search.write("cast", cast.pk, page.cast.search_entries())
    return page


@action("cast.withdraw")
def withdraw_cast(actor: Actor, cast: Cast, *, expected_version: int | None = None) -> PublicPage:
    """Takes a cast back from visitors: its page, its picture and its entry in their search are gone at once."""
    cast = hold_cast(cast.pk)
    page = _page(cast, expected_version)
    if not page.pk or page.withdrawn_on or not cast.published_on:
        raise Hindered(f"{cast.number} is not shown to visitors.")
    return _taken_back(actor, page, cast)


def _taken_back(actor: Actor, page: PublicPage, cast: Cast) -> PublicPage:
    page.withdrawn_on = today()
    store(page)
    set_published(actor, cast.pk, None)
    return page


@action("cast.publish")
def refresh(actor: Actor, cast: Cast) -> list[str]:
    """After its place or the category of its site changed: the cell is made anew; a page that would tell too much is taken back.

    What followed, in sentences. Part of the act that changed the place.
    """
    cast = hold_cast(cast.pk)
    page = PublicPage.objects.select_for_update(no_key=True).filter(cast=cast).first()
    if page is None:
        return []
    _place(page, cast)
    digs = reads.digs_of(cast)
    said = reads.said_on(page, cast)
    betrays = [r for r in rules.what_betrays(said, reads.secrets_of(cast, digs, page.cell_deg)) if r.field != "picture"]
    if betrays and page.withdrawn_on is None:
        _taken_back(actor, page, cast)
        return [rules.why_taken_back(cast.number, {r.said: r.sentence for r in betrays})]
    before = page.version
    store(page)
    return [f"The visitor's page of {cast.number} shows the place anew."] if page.version != before else []
