"""The columns that lists are sorted by are compared byte by byte: SQLite does so by itself, PostgreSQL goes by language."""

from django.db import migrations

_COLUMNS = ["catalog_cast", "catalog_piece", "catalog_historicalcast", "catalog_historicalpiece"]


def by_bytes(apps, schema_editor):
    _compare(schema_editor, ' COLLATE "C"')


def by_language(apps, schema_editor):
    _compare(schema_editor, "")


def _compare(schema_editor, how):
    if schema_editor.connection.vendor == "postgresql":
        for table in _COLUMNS:
            schema_editor.execute(f"ALTER TABLE {table} ALTER COLUMN sort TYPE varchar(120){how}")


class Migration(migrations.Migration):

    dependencies = [
        ('catalog', '0005_place_cells'),
    ]

    operations = [migrations.RunPython(by_bytes, by_language)]
