"""Parts of addresses: a number of a thing has a digit, so no deed is ever taken for one."""

from django.urls import register_converter


class Number:
    regex = "[^/]*[0-9][^/]*"

    def to_python(self, value: str) -> str:
        return value

    def to_url(self, value: str) -> str:
        return value


register_converter(Number, "number")
