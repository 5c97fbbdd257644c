"""Pages: coming in, oneself, people, the collection's decisions, the first start."""

from catalog.people.pages import links, me, means, people, settings, sign_in, welcome

__all__ = ["links", "me", "means", "people", "settings", "sign_in", "welcome"]
